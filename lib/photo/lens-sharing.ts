/**
 * Photographs of a journal that were taken with one lens share its focal length and k1. EXIF that says the same (and pictures of one
 * size up to their orientation) is one lens at one zoom; a photograph without EXIF joins loosely where its own fit agrees, because
 * nothing says that it was not zoomed. Photographs of different zoom share no focal length, and k1 loosely: a picture cut out of the
 * middle keeps it in normalised coordinates, another lens of the same telephone does not.
 */
import type { Photo } from '../model/photo'
import type { Fit } from './cylinder-fit'
import { unknownIndex } from './fit-state'
import type { FitTask } from './fit-task'
import type { LensShare } from './joint-fit'
import type { LensData } from './lens-priors'

/** `fit`: the photograph's own; null where it has none. */
export type LensUser = { photo: Photo; lens: LensData | null; fit: Fit | null }

type Member = { photo: number; sigma: number }

/** What is shared, by the photographs' places in the list. */
export type SharedLenses = { focal: Member[][]; k1: Member[] }

/** How evenly one lens at one zoom keeps its focal length (on its logarithm) while it focuses, and its k1; by its EXIF, or without (from memory). */
const sameFocal = { told: 0.005, silent: 0.03 }
const sameK1 = { sameZoom: 0.003, otherZoom: 0.02 }
/** A photograph without EXIF joins where its focal length lies within so many sigmas of the group's. */
const joinSigmas = 2

export function sharedLenses(users: readonly LensUser[]): SharedLenses {
  const focal = lensGroups(users).map(({ told, silent }) => [
    ...told.map((photo) => ({ photo, sigma: sameFocal.told })),
    ...silent.map((photo) => ({ photo, sigma: sameFocal.silent })),
  ])
  const largest = focal.reduce<Member[]>((most, group) => (group.length > most.length ? group : most), [])
  const main = new Set(largest.map(({ photo }) => photo))
  const lensMm = largest.length > 0 ? (users[largest[0].photo].lens?.focalMm ?? null) : null
  const k1 = users.flatMap(({ photo, lens }, i): Member[] => {
    const otherLens = lensMm !== null && lens?.focalMm != null && lens.focalMm !== lensMm
    return photo.k1 !== null || otherLens ? [] : [{ photo: i, sigma: main.has(i) ? sameK1.sameZoom : sameK1.otherZoom }]
  })
  return { focal: focal.filter((group) => group.length > 1), k1: k1.length > 1 ? k1 : [] }
}

/** The same for the joint solve. */
export function lensShares({ focal, k1 }: SharedLenses): LensShare[] {
  return [
    ...focal.map((members): LensShare => ({ unknown: 'logFocal', members })),
    ...(k1.length > 0 ? [{ unknown: 'k1' as const, members: k1 }] : []),
  ]
}

/**
 * A lens's prior is one observation, however many photographs it took: each of them carries its share of it. The focal length's
 * prior of those without EXIF stays theirs, since it may be another zoom.
 */
export function withSharedPriors(task: FitTask, photo: number, { focal, k1 }: SharedLenses): FitTask {
  const told = focal
    .map((group) => group.filter(({ sigma }) => sigma === sameFocal.told))
    .find((group) => group.some((one) => one.photo === photo))
  const sharers = (unknown: number): number => {
    if (unknown === unknownIndex.k1 && k1.some((one) => one.photo === photo)) return k1.length
    return unknown === unknownIndex.logFocal && told ? told.length : 1
  }
  const list = task.priors.list.map((prior) => {
    const weight = 1 / Math.sqrt(sharers(prior.unknown))
    return {
      ...prior,
      evaluate: (...state: Parameters<typeof prior.evaluate>) => {
        const { residual, row } = prior.evaluate(...state)
        return { residual: weight * residual, row: row.map((value) => weight * value) }
      },
    }
  })
  return { ...task, priors: { ...task.priors, list } }
}

function lensGroups(users: readonly LensUser[]): { told: number[]; silent: number[] }[] {
  const byLens = new Map<string, { told: number[]; silent: number[] }>()
  users.forEach(({ photo, lens }, i) => {
    if (photo.focalPx !== null || !lens?.focal35Mm) return
    const key = `${sizeOf(photo)} ${lens.focal35Mm} ${lens.focalMm ?? ''}`
    const group = byLens.get(key) ?? { told: [], silent: [] }
    group.told.push(i)
    byLens.set(key, group)
  })
  const groups = [...byLens.values()]
  users.forEach((user, i) => {
    const { photo, lens, fit } = user
    if (photo.focalPx !== null || lens?.focal35Mm || !fit) return
    const fitting = groups.filter(({ told, silent }) => {
      const members = [...told, ...silent].map((k) => users[k])
      return sizeOf(members[0].photo) === sizeOf(photo) && agrees(fit, members)
    })
    if (fitting.length === 1) fitting[0].silent.push(i)
    else if (fitting.length === 0) groups.push({ told: [], silent: [i] })
  })
  return groups
}

function sizeOf({ width, height }: Photo): string {
  return `${Math.max(width, height)}x${Math.min(width, height)}`
}

function agrees(fit: Fit, members: readonly LensUser[]): boolean {
  const known = members.flatMap((member) => (member.fit ? [focalOf(member.fit)] : []))
  const weight = known.reduce((sum, { variance }) => sum + 1 / variance, 0)
  if (!(weight > 0)) return false
  const mean = known.reduce((sum, { log, variance }) => sum + log / variance, 0) / weight
  const own = focalOf(fit)
  return Math.abs(own.log - mean) <= joinSigmas * Math.sqrt(own.variance + 1 / weight)
}

function focalOf({ camera, unknowns, covariance }: Fit): { log: number; variance: number } {
  const at = unknowns.indexOf(unknownIndex.logFocal)
  return { log: Math.log(camera.focalPx), variance: covariance[at * unknowns.length + at] }
}
