'use client'
/** Small rollouts of all journals for the strip: one after another in a worker, each anew when one of its fits has changed. */
import { useEffect, useRef, useState } from 'react'
import { type JournalModel, rolledOut } from '@/components/editor/bench-model'
import { drawStripe, stripeContext } from '@/components/map/draw-stripe'
import { loadBitmap, previewPath } from '@/components/photo/photo-picture'
import type { Fit } from '@/lib/photo/cylinder-fit'
import { leftOutOf } from '@/lib/photo/left-out'
import { rolloutSize } from '@/lib/rollout/rollout'
import { openRolloutClient, type RolloutClient } from '@/lib/rollout/rollout-client'

export type StripPicture = { canvas: OffscreenCanvas; fits: readonly Fit[] }

const pxPerMm = 2
const previewWidth = 800

export function useStripRollouts(models: readonly JournalModel[]): ReadonlyMap<string, StripPicture> {
  const [pictures, setPictures] = useState<ReadonlyMap<string, StripPicture>>(new Map())
  const made = useRef(pictures)
  made.current = pictures
  const wanted = models.filter((model) => !upToDate(made.current.get(model.row.id), model))
  const latest = useRef(wanted)
  latest.current = wanted
  const next = wanted[0]?.row.id
  const turn = wanted.map((model) => model.row.id).join(' ')

  // one for all journals: ending a worker holds the page up until the worker's last drawing is done
  const desk = useRef<{ client: RolloutClient; before: Promise<unknown> } | null>(null)
  useEffect(
    () => () => {
      desk.current?.client.close()
      desk.current = null
    },
    [],
  )

  // biome-ignore lint/correctness/useExhaustiveDependencies: one journal after another; each that is done changes the turn
  useEffect(() => {
    const model = latest.current[0]
    if (!model) return
    const stop = new AbortController()
    desk.current ??= { client: openRolloutClient(), before: Promise.resolve() }
    const { client, before } = desk.current
    const fits = rolledOut(model).map(({ fit }) => fit)
    const made = before.then(() => layOut(client, model, stop.signal))
    desk.current.before = made
    void made.then((canvas) => {
      if (!stop.signal.aborted) setPictures((others) => new Map(others).set(model.row.id, { canvas, fits }))
    })
    return () => stop.abort()
  }, [next, turn])

  return pictures
}

function upToDate(picture: StripPicture | undefined, model: JournalModel): boolean {
  const fits = rolledOut(model).map(({ fit }) => fit)
  if (!picture) return fits.length === 0
  return picture.fits.length === fits.length && picture.fits.every((fit, index) => fit === fits[index])
}

async function layOut(client: RolloutClient, model: JournalModel, signal: AbortSignal): Promise<OffscreenCanvas> {
  const views = rolledOut(model)
  const size = rolloutSize(model.surface, pxPerMm)
  const canvas = new OffscreenCanvas(size.width, size.height)
  const context = stripeContext(canvas)
  const read = await Promise.all(
    views.map(async ({ row }) => {
      try {
        client.setBitmap(row.id, await loadBitmap(previewPath(row.id, previewWidth), signal))
        return true
      } catch {
        // a photograph without its picture: the rest is laid out
        return false
      }
    }),
  )
  const order = views.flatMap(({ row, fit }, index) =>
    read[index] ? [{ photoId: row.id, camera: fit.camera, ignore: leftOutOf(row.value, fit) }] : [],
  )
  if (!signal.aborted)
    await client.render({ surface: model.surface, views: order, size }, (stripe) => drawStripe(context, stripe)).catch(() => {})
  for (const { row } of views) client.dropPicture(row.id)
  return canvas
}
