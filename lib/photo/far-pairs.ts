/** Which photographs of a journal stand next to each other but far apart, and the ties that their strips give. */
import { wrapped } from '../journal/wrapped-angle'
import { type MapPoint, type Surface, surfacePoint } from '../journal/surface'
import { type Camera, type PhotoPoint, project } from './camera'
import { farDeg } from './far-turn'
import { type GlowStrip, placeOfColumn } from './glow-strip'
import { type OverlapReach, type OverlapTie, overlapTies } from './overlap-ties'
import { facingOf } from './settled-turns'

export type CameraStrip = { strip: GlowStrip; camera: Camera }
/** Two pixels that show one place; information of the difference (R theta, s), mm^-2: xx, xy, yy. */
export type PixelTie = { inFirst: PhotoPoint; inSecond: PhotoPoint; information: [number, number, number] }

/** By the cameras' places in the list, which are all in the journal's frame. */
export function farPairs(cameras: readonly Camera[]): [number, number][] {
  const around = cameras.map((camera, index) => ({ index, facing: facingOf(camera) })).sort((a, b) => a.facing - b.facing)
  return around.flatMap((one, k): [number, number][] => {
    const next = around[(k + 1) % around.length]
    const apart = Math.abs(wrapped(next.facing - one.facing)) * (180 / Math.PI)
    const again = around.length === 2 && k === 1
    return apart >= farDeg.nearest && apart <= farDeg.farthest && !again ? [[one.index, next.index]] : []
  })
}

/** Both strips are those of their cameras. */
export function farPairTies(surface: Surface, first: CameraStrip, second: CameraStrip, reach: OverlapReach): PixelTie[] {
  return overlapTies(surface, first.strip, second.strip, reach).flatMap((tie): PixelTie[] => {
    const place = (column: number, row: number): MapPoint => ({
      theta: ((column + 0.5) / first.strip.columns) * 2 * Math.PI,
      s: ((row + 0.5) / first.strip.height) * surface.totalS,
    })
    const inFirst = project(first.camera, surfacePoint(surface, place(tie.column, tie.row)))
    const inSecond = project(second.camera, surfacePoint(surface, place(tie.column + tie.columns, tie.row + tie.rows)))
    const cosines = [cosineAt(first.strip, tie), cosineAt(second.strip, tie)]
    return inFirst && inSecond ? [{ inFirst, inSecond, information: informationOf(tie, cosines) }] : []
  })
}

/**
 * What a tie claims by its noise alone is too little: seen on rendered photographs with their true cameras (sets below seed 1000; no source). And
 * windows overlap, so that each place is told of twice.
 */
const beyondNoise = 1.4
const toldTimes = 2
/** What the light on rough metal moves a place by, where it faces the camera, mm; the more the more obliquely it is seen. */
const lightMm = { around: 0.015, along: 0.05 }
const leastCosine = 0.17

function informationOf({ information: [xx, xy, yy] }: OverlapTie, cosines: readonly number[]): [number, number, number] {
  const determinant = xx * yy - xy * xy
  const light = cosines.reduce((sum, cosine) => sum + (lightMm.around / Math.max(leastCosine, cosine)) ** 2, 0)
  const around = toldTimes * ((beyondNoise ** 2 * yy) / determinant + light)
  const along = toldTimes * ((beyondNoise ** 2 * xx) / determinant + lightMm.along ** 2)
  const across = (toldTimes * beyondNoise ** 2 * -xy) / determinant
  const whole = around * along - across ** 2
  return [along / whole, -across / whole, around / whole]
}

function cosineAt(strip: GlowStrip, { column, row }: OverlapTie): number {
  return strip.cosine[Math.round(row) * strip.width + Math.round(placeOfColumn(strip, column))] ?? 0
}
