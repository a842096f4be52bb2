/**
 * A close-up's candidate place drawn tight: the picture is rolled out with the camera found so far, patches of it are looked for
 * about their places, those that agree pull the camera, and so on from the coarse texture to the fine one.
 */
import { type Surface, surfacePoint } from '../journal/surface'
import { type Camera, cameraPlace, project } from './camera'
import { agreeingTies } from './agreeing-ties'
import { type CloseUpView, closeUpStrip, photoPxPerMm } from './close-up-strip'
import { coarseTexture } from './close-up-search'
import { baseOf, stateAt, unknownCount } from './fit-state'
import type { ContourSigns } from './fit-task'
import { type JointPhoto, solveJointly, type Tie } from './joint-fit'
import { measure } from './observation'
import { fineTexture, type TextureScale, type TextureStrip, textureOf } from './texture'
import { comparablePatches, fineTies, type TiePatch, type TieSearch, tiePatches } from './tie-points'
import { pixelToMap } from './unproject'
import { wrapped } from '../journal/wrapped-angle'

/** A texture of the whole map, and how patches of the close-up are looked for in it. */
type Step = { reference: readonly TextureStrip[]; texture: TextureScale; search: TieSearch; roomMm: number }

export type CloseUpReference = {
  /** The mean of what the placed photographs show, coarse; the textures of the ones near, fine. All cover the whole map. */
  coarse: TextureStrip
  fine: readonly TextureStrip[]
}

export type Refined = {
  photo: JointPhoto
  /** Ties with each fine reference that agree, and how many patches were looked for in it. */
  ties: TiePatch[][]
  tried: number[]
}

/** Null where too little agrees on the way. */
export function refineCloseUp(surface: Surface, view: CloseUpView, start: JointPhoto, reference: CloseUpReference): Refined | null {
  const coarse = { reference: [reference.coarse], texture: coarseTexture }
  const fine = { reference: reference.fine, texture: fineTexture, search: fineTies }
  const steps: Step[] = [
    { ...coarse, search: { patchMm: 4, spacingMm: 3, searchMm: 3, leastCorrelation: 0.5 }, roomMm: 1 },
    { ...coarse, search: { patchMm: 4, spacingMm: 3, searchMm: 1.5, leastCorrelation: 0.5 }, roomMm: 0.6 },
    { ...fine, roomMm: 0.4 },
    { ...fine, roomMm: 0.25 },
  ]
  let photo: JointPhoto | null = start
  for (const step of steps) {
    photo = photo && tightened(surface, view, photo, step)
  }
  if (!photo) return null
  const last = tiesNow(surface, view, photo, { ...fine, roomMm: settledRoomMm })
  return { photo, ties: last.map(({ agreeing }) => agreeing), tried: last.map(({ tried }) => tried) }
}

const leastTies = 5
/** Once drawn tight, patches that found the same steel agree to this; those that found something else lie anywhere in the window. */
const settledRoomMm = 0.18

function tightened(surface: Surface, view: CloseUpView, photo: JointPhoto, step: Step): JointPhoto | null {
  const camera = cameraOf(photo)
  const ties = tiesNow(surface, view, photo, step).flatMap(({ agreeing }) => agreeing)
  if (ties.length < leastTies) return null
  const held = ties.flatMap((patch): Tie[] => {
    const pixel = project(camera, surfacePoint(surface, patch.inSecond))
    return pixel ? [{ first: { photo: null, place: patch.inFirst }, second: { photo: 0, pixel }, information: patch.information }] : []
  })
  const facing = { ...photo, contourSigns: likelySigns(photo) }
  const solved = solveJointly(surface, [facing], held)
  return solved && { ...facing, base: baseOf(solved.states[0].camera, solved.states[0].surface) }
}

/** Points of a side belong to the contour that they lie nearer to. */
function likelySigns({ task, base, contourSigns }: JointPhoto): ContourSigns {
  const state = stateAt(base, new Float64Array(unknownCount))
  const missed = (list: 0 | 1, sign: 1 | -1) => {
    let sum = 0
    for (const o of task.observations) {
      if (o.type === 'contour' && o.list === list)
        sum += Math.abs(measure(state, o, [sign, sign])?.residualsPx[0] ?? Number.POSITIVE_INFINITY)
    }
    return sum
  }
  const signOf = (list: 0 | 1): 1 | -1 => {
    const [plus, minus] = [missed(list, 1), missed(list, -1)]
    return plus === minus ? contourSigns[list] : plus < minus ? 1 : -1
  }
  return [signOf(0), signOf(1)]
}

function cameraOf({ base }: JointPhoto): Camera {
  return stateAt(base, new Float64Array(unknownCount)).camera
}

function tiesNow(surface: Surface, view: CloseUpView, photo: JointPhoto, step: Step): { agreeing: TiePatch[]; tried: number }[] {
  const camera = cameraOf(photo)
  const [first] = step.reference
  const strip = rolledOut(surface, view, camera, first, step.texture)
  return step.reference.map((reference) => {
    const found = tiePatches(surface, reference, strip, 0, 0, step.search)
    const displacements = found.map(({ inFirst, inSecond }) => ({
      x: surface.radius * wrapped(inFirst.theta - found[0].inFirst.theta),
      y: inFirst.s,
      dx: surface.radius * wrapped(inFirst.theta - inSecond.theta),
      dy: inFirst.s - inSecond.s,
    }))
    return {
      agreeing: agreeingTies(displacements, step.roomMm).map((i) => found[i]),
      tried: comparablePatches(reference, strip, 0, 0, step.search),
    }
  })
}

/** Of the picture's diagonal, what a close-up reaches from its middle at most: half of it, and more where it looks aslant. */
const reachShare = 0.7

/** The close-up on the whole map, worked out where it may lie. */
function rolledOut(surface: Surface, view: CloseUpView, camera: Camera, like: TextureStrip, scale: TextureScale): TextureStrip {
  const { width, height, pxPerMm } = like
  const place = cameraPlace(camera)
  const facing = Math.atan2(place[1], place[0])
  const middle = pixelToMap(surface, camera, { u: camera.width / 2, v: camera.height / 2 })
  const whole = { width, height, pxPerMm, value: new Float32Array(width * height), mask: new Uint8Array(width * height) }
  const reachMm = (reachShare * Math.hypot(camera.width, camera.height)) / photoPxPerMm(surface, camera) + 3 * scale.broadMm
  const half = Math.min(width / 2, Math.ceil(reachMm * pxPerMm))
  const theta = middle.ok ? middle.value.theta : facing
  const firstColumn = Math.round((theta / (2 * Math.PI)) * width) - half
  const window = { columns: width, rows: height, firstColumn, firstRow: 0, width: 2 * half, height }
  const part = textureOf(closeUpStrip(surface, view, camera, window), scale)
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < 2 * half; x++) {
      const at = y * width + ((firstColumn + x + 2 * width) % width)
      whole.value[at] = part.value[y * 2 * half + x]
      whole.mask[at] = part.mask[y * 2 * half + x]
    }
  }
  return whole
}
