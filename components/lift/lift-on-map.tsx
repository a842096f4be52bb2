'use client'
/** The lift where it lies on the map: half through, over the journal's rollout, its marks over both. */
import { useMemo } from 'react'
import { Image as KonvaImage } from 'react-konva'
import type { JournalModel } from '@/components/editor/bench-model'
import type { BenchMark } from '@/components/map/bench-mark'
import { MapGround } from '@/components/map/map-ground'
import { MapMarks } from '@/components/map/map-marks'
import { degreeRuler, lengthRuler, ScaleBar, scaleRuler } from '@/components/map/map-rulers'
import { type MapLay, mapSheet, type MapSheet, onSheet } from '@/components/map/map-sheet'
import { PictureStage } from '@/components/map/picture-stage'
import type { RolloutState } from '@/components/map/use-journal-rollout'
import { useSteelColours } from '@/components/map/steel-colours'
import { toScreen, type View } from '@/components/map/view'
import { useUnits } from '@/components/ui/preferences'
import type { LaidPicture } from './lift-picture'

const through = 0.6
const untouched = { canGrab: () => null, press() {}, move() {}, release() {}, cancel() {}, hover() {} }

export function LiftOnMap({
  model,
  lay,
  rollout,
  marks,
  laid,
  label,
}: {
  model: JournalModel
  lay: MapLay
  rollout: RolloutState
  marks: readonly BenchMark[]
  laid: LaidPicture | null
  label: string
}) {
  const colours = useSteelColours()
  const units = useUnits()
  const sheet = useMemo(() => mapSheet(model.surface, lay), [model.surface, lay])
  const rulers = useMemo(
    () =>
      lay === 'rear-up'
        ? { top: degreeRuler(sheet, 'top'), left: lengthRuler(sheet, units), bottom: scaleRuler(units, '', null) }
        : { left: degreeRuler(sheet, 'left') },
    [sheet, lay, units],
  )
  return (
    <PictureStage
      label={label}
      content={sheet.size}
      ground={(view) => (
        <>
          <MapGround sheet={sheet} view={view} journal={model.row.value} picture={rollout.picture} unseen={[]} colours={colours} />
          {laid ? <Laid laid={laid} sheet={sheet} view={view} /> : null}
        </>
      )}
      scene={(view, frame) => (
        <>
          <MapMarks sheet={sheet} view={view} marks={marks} colours={colours} />
          {lay === 'front-left' ? <ScaleBar atLeft view={view} frame={frame} units={units} colours={colours} /> : null}
        </>
      )}
      target={untouched}
      homeKey={`${model.row.id}:${lay}`}
      rulers={rulers}
      below={
        lay === 'rear-up' ? (
          <span className="note">Seen from outside, rear cheek up; the lift lies half through over the photographs.</span>
        ) : undefined
      }
    />
  )
}

/** Drawn again a turn before and after, so that a lift over the seam is whole. */
function Laid({ laid, sheet, view }: { laid: LaidPicture; sheet: MapSheet; view: View }) {
  const { fromTheta, toTheta, fromS, toS, canvas } = laid
  const width = (toTheta - fromTheta) * sheet.surface.radius * view.scale
  const height = (toS - fromS) * view.scale
  return [-1, 0, 1].map((turns) => {
    const corner = toScreen(view, onSheet(sheet, { theta: fromTheta + turns * 2 * Math.PI, s: toS }))
    return (
      <KonvaImage
        key={turns}
        image={canvas as unknown as HTMLCanvasElement}
        x={corner.x}
        y={corner.y}
        width={width}
        height={height}
        rotation={sheet.lay === 'rear-up' ? 0 : 90}
        opacity={through}
      />
    )
  })
}
