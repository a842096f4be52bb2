'use client'
/** The rollout of the journal on the bench: laid out in a worker, stripe by stripe, anew whenever a fit or an outline to leave out has changed. */
import { useEffect, useRef, useState } from 'react'
import { type JournalModel, rolledOut } from '@/components/editor/bench-model'
import { valueStore } from '@/components/editor/value-store'
import { loadBitmap, previewPath } from '@/components/photo/photo-picture'
import { rolloutSize } from '@/lib/rollout/rollout'
import { leftOutOf } from '@/lib/photo/left-out'
import { openRolloutClient, type RolloutClient } from '@/lib/rollout/rollout-client'
import { drawStripe, stripeContext } from './draw-stripe'
import type { MapPicture, PictureStore } from './map-ground'
import { emptySources, handoversOf, takeSources } from './map-sources'

export type RolloutState = {
  /** Changes with every stripe: those who draw it ask for it alone. */
  picture: PictureStore
  /** Photographs read so far; null when all is laid out. */
  work: { done: number; of: number } | null
  /** Stopped by a person before it was whole. */
  stopped: boolean
  /** Photographs whose pictures could not be read, by name. */
  missing: readonly string[]
  stop: () => void
  goOn: () => void
  /** How many photographs it is made from. */
  photos: number
  /** Whether lines show where one photograph hands over to the next. */
  handoversShown: boolean
  showHandovers: (shown: boolean) => void
}

/** Fine enough that a photograph 2000 px wide loses nothing. Previews are coarser than that: read bicubic, as the PNG is, thin lines keep their edge. */
const pxPerMm = 14
const sampling = 'bicubic'

export function useJournalRollout(model: JournalModel): RolloutState {
  const desk = useRef<Desk | null>(null)
  const [shown, setShown] = useState<Shown>(nothing)
  const [picture] = useState(() => valueStore<MapPicture | null>(null))
  const [stoppedFor, setStoppedFor] = useState<string | null>(null)
  const [handoversShown, setHandoversShown] = useState(false)
  const views = rolledOut(model)
  const journalRow = model.row.id
  const stopped = stoppedFor === journalRow
  const key = [journalRow, stopped, ...views.map(({ row, fit }) => `${row.id}:${identity(fit)}:${identity(row.value.ignore)}`)].join(' ')
  const latest = useRef(model)
  latest.current = model

  useEffect(() => {
    desk.current ??= openDesk()
    return () => {
      desk.current?.client.close()
      desk.current = null
    }
  }, [])

  // biome-ignore lint/correctness/useExhaustiveDependencies: the key stands for everything the rollout is made from
  useEffect(() => {
    const at = desk.current
    if (!at || stopped) return
    const stop = new AbortController()
    void layOut(at, latest.current, stop.signal, picture, setShown)
    return () => stop.abort()
  }, [key])

  const work = shown.journalRow === journalRow && !stopped ? shown.work : null
  // biome-ignore lint/correctness/useExhaustiveDependencies: anew when a map is whole
  useEffect(() => {
    const laidOut = picture.get()
    if (!laidOut) return
    const handovers = handoversShown && work === null ? handoversOf(laidOut.sources, latest.current.surface.totalS) : null
    picture.set({ ...laidOut, handovers })
  }, [handoversShown, shown, key])

  return {
    picture,
    work,
    stopped: stopped && shown.journalRow === journalRow && shown.work !== null,
    missing: shown.journalRow === journalRow ? shown.missing : [],
    stop: () => setStoppedFor(journalRow),
    goOn: () => setStoppedFor(null),
    photos: views.length,
    handoversShown,
    showHandovers: setHandoversShown,
  }
}

type Shown = {
  journalRow: string | null
  work: { done: number; of: number } | null
  missing: readonly string[]
}
const nothing: Shown = { journalRow: null, work: null, missing: [] }

type Desk = { client: RolloutClient; journalRow: string | null; held: Set<string>; canvas: OffscreenCanvas | null; stamp: number }

function openDesk(): Desk {
  return { client: openRolloutClient(), journalRow: null, held: new Set(), canvas: null, stamp: 0 }
}

async function layOut(desk: Desk, model: JournalModel, signal: AbortSignal, picture: PictureStore, show: (shown: Shown) => void) {
  const views = rolledOut(model)
  const size = rolloutSize(model.surface, pxPerMm)
  if (desk.journalRow !== model.row.id) {
    for (const id of desk.held) desk.client.dropPicture(id)
    desk.held.clear()
    desk.journalRow = model.row.id
    desk.canvas = null
  }
  if (views.length === 0) {
    picture.set(null)
    return show({ journalRow: model.row.id, work: null, missing: [] })
  }
  if (!desk.canvas || desk.canvas.width !== size.width || desk.canvas.height !== size.height)
    desk.canvas = new OffscreenCanvas(size.width, size.height)
  const { canvas } = desk
  const missing: string[] = []
  let done = views.filter(({ row }) => desk.held.has(row.id)).length
  const tell = (work: Shown['work']) => {
    if (!signal.aborted) show({ journalRow: model.row.id, work, missing: [...missing] })
  }
  const sources = emptySources(
    size,
    views.map(({ row }) => row.value.id),
  )
  // those that were not read yet are left out by the worker
  const order = views.map(({ row, fit }) => ({ photoId: row.id, camera: fit.camera, ignore: leftOutOf(row.value, fit) }))
  const render = async () => {
    const context = stripeContext(canvas)
    await desk.client.render({ surface: model.surface, views: order, size, sampling, sources: true }, (stripe) => {
      if (signal.aborted) return
      drawStripe(context, stripe)
      takeSources(sources, stripe)
      desk.stamp += 1
      picture.set({ canvas, stamp: desk.stamp, sources, handovers: null })
    })
  }
  const waiting = views.filter(({ row }) => !desk.held.has(row.id))
  if (waiting.length > 0) tell({ done, of: views.length })
  for (const { row } of waiting) {
    if (signal.aborted) return
    try {
      const bitmap = await loadBitmap(previewPath(row.id, 1600), signal)
      if (signal.aborted) return
      desk.client.setBitmap(row.id, bitmap)
      desk.held.add(row.id)
    } catch {
      if (signal.aborted) return
      missing.push(row.value.id)
    }
    done += 1
    if (done < views.length) {
      tell({ done, of: views.length })
      // what is there already is worth seeing while the rest is read
      if (done === 1 || done === Math.ceil(views.length / 2)) void render().catch(() => {})
    }
  }
  await render().catch(() => {})
  tell(null)
}

const identities = new WeakMap<object, number>()
let lastIdentity = 0

/** A number that stands for an object as long as it lives. */
function identity(value: object): number {
  const known = identities.get(value)
  if (known !== undefined) return known
  lastIdentity += 1
  identities.set(value, lastIdentity)
  return lastIdentity
}
