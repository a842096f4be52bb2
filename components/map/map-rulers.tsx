'use client'
/** The scales beside the map: degrees around, and mm or inch along the meridian from the front cheek. Also the scale bar. */
import type { Units } from '@/lib/model/inspection'
import { fromMm, mmPerInch } from '@/lib/model/units'
import { type MapSheet, onSheet } from './map-sheet'
import type { SteelColours } from './steel-colours'
import { HaloLine, SteelText } from './steel-line'
import type { Ruler } from './picture-stage'
import { type Size, toScreen, type View } from './view'

const degreeSteps = [1, 2, 5, 10, 15, 30]
const lengthSteps: Record<Units, number[]> = { mm: [1, 2, 5, 10, 20], in: [0.05, 0.1, 0.2, 0.25, 0.5, 1] }

export function degreeRuler(sheet: MapSheet, side: 'top' | 'left'): Ruler {
  return {
    room: side === 'top' ? 28 : 52,
    draw: (view, frame) => {
      const perDegree = (sheet.turn / 360) * view.scale
      const labelled = degreeSteps.find((step) => step * perDegree >= (side === 'top' ? 56 : 40)) ?? 30
      const small = labelled >= 30 ? 10 : labelled >= 10 ? 5 : 1
      const ticks = Array.from({ length: 360 / small + 1 }, (_, index) => index * small)
      return ticks.map((deg) => {
        const point = toScreen(view, onSheet(sheet, { theta: (deg * Math.PI) / 180, s: sheet.surface.totalS }))
        const long = deg % labelled === 0
        if (side === 'top') {
          if (point.x < -1 || point.x > frame.width + 1) return null
          const x = Math.min(frame.width - 18, Math.max(12, point.x))
          return (
            <g key={deg}>
              <path d={`M${point.x} ${long ? 18 : 22}V28`} stroke="var(--ink)" strokeWidth={long ? 1.4 : 1} />
              {long ? (
                <text x={x} y={14} fontSize={14} textAnchor="middle" fill="var(--ink)">
                  {deg}°
                </text>
              ) : null}
            </g>
          )
        }
        if (point.y < -1 || point.y > frame.height + 1) return null
        return (
          <g key={deg}>
            <path d={`M${long ? 41 : 46} ${point.y}H52`} stroke="var(--ink)" strokeWidth={long ? 1.4 : 1} />
            {long ? (
              <text x={38} y={Math.min(frame.height - 2, Math.max(12, point.y + 5))} fontSize={14} textAnchor="end" fill="var(--ink)">
                {deg}°
              </text>
            ) : null}
          </g>
        )
      })
    },
  }
}

export function lengthRuler(sheet: MapSheet, units: Units): Ruler {
  return {
    room: 44,
    draw: (view, frame) => {
      const perUnit = view.scale * (units === 'mm' ? 1 : mmPerInch)
      const labelled = lengthSteps[units].find((step) => step * perUnit >= 30) ?? 1
      const count = Math.floor(fromMm(sheet.surface.totalS, units) / (labelled / 2))
      return Array.from({ length: count + 1 }, (_, index) => {
        const value = (index * labelled) / 2
        const s = units === 'mm' ? value : value * mmPerInch
        const { y } = toScreen(view, onSheet(sheet, { theta: 0, s }))
        if (y < -1 || y > frame.height + 1) return null
        const long = index % 2 === 0
        return (
          <g key={value}>
            <path d={`M${long ? 34 : 39} ${y}H44`} stroke="var(--ink)" strokeWidth={long ? 1.4 : 1} />
            {long ? (
              <text x={30} y={Math.min(frame.height - 1, Math.max(11, y + 5))} fontSize={14} textAnchor="end" fill="var(--ink)">
                {units === 'mm' ? value : value.toFixed(labelled < 0.1 ? 2 : labelled === 0.25 ? 2 : 1)}
              </text>
            ) : null}
          </g>
        )
      })
    },
  }
}

/** A bar of a round length, the same both ways, and how the map lies. On a pin the half towards the shaft's axis is bracketed. */
export function scaleRuler(units: Units, words: string, innerHalf: MapSheet | null): Ruler {
  return {
    room: innerHalf ? 44 : 28,
    draw: (view, frame) => {
      const low = innerHalf ? 16 : 0
      const { length, width } = scaleBar(view, units)
      return (
        <>
          {innerHalf ? <InnerHalf sheet={innerHalf} view={view} /> : null}
          <path d={`M1 ${12 + low}v10m0-5H${1 + width}m0-5v10`} stroke="var(--ink)" strokeWidth={1.8} fill="none" />
          <text x={width + 10} y={22 + low} fontSize={14} fill="var(--ink)">
            {length} {units}, the same both ways
          </text>
          {frame.width > 760 ? (
            <text x={frame.width} y={22 + low} fontSize={14} textAnchor="end" fill="var(--ink-soft)">
              {words}
            </text>
          ) : null}
        </>
      )
    },
  }
}

/** The same bar on a canvas, for pictures without a strip below them. */
export function ScaleBar({
  view,
  frame,
  units,
  colours,
  atLeft = false,
}: {
  view: View
  frame: Size
  units: Units
  colours: SteelColours
  /** Where something else stands at the right. */
  atLeft?: boolean
}) {
  const { length, width } = scaleBar(view, units)
  const from = { x: atLeft ? 14 : frame.width - 90 - width, y: frame.height - 14 }
  const to = { x: from.x + width, y: from.y }
  const end = (x: number) => [
    { x, y: from.y - 5 },
    { x, y: from.y + 5 },
  ]
  return (
    <>
      <HaloLine points={[from, to]} width={1.8} colour={colours.ink} halo={colours.halo} />
      <HaloLine points={end(from.x)} width={1.8} colour={colours.ink} halo={colours.halo} />
      <HaloLine points={end(to.x)} width={1.8} colour={colours.ink} halo={colours.halo} />
      <SteelText at={{ x: to.x + 9, y: from.y }} text={`${length} ${units}`} colours={colours} />
    </>
  )
}

function InnerHalf({ sheet, view }: { sheet: MapSheet; view: View }) {
  const [from, to] = [0.5, 1.5].map((share) => toScreen(view, onSheet(sheet, { theta: share * Math.PI, s: 0 })).x)
  if (from === undefined || to === undefined) return null
  return (
    <>
      <path d={`M${from} 2v6H${to}v-6`} stroke="var(--ink-soft)" fill="none" />
      <text x={(from + to) / 2} y={22} fontSize={13} textAnchor="middle" fill="var(--ink-soft)">
        inner half
      </text>
    </>
  )
}

function scaleBar(view: View, units: Units): { length: number; width: number } {
  const perUnit = view.scale * (units === 'mm' ? 1 : mmPerInch)
  const lengths = units === 'mm' ? [0.2, 0.5, 1, 2, 5, 10, 20, 50] : [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2]
  const length = lengths.find((candidate) => candidate * perUnit >= 42) ?? lengths.at(-1) ?? 1
  return { length, width: length * perUnit }
}
