/** What a sigma is made of, and what would shrink it: held against fits that really have the handle, or really know the lens. */
import { describe, expect, it } from 'vitest'
import { surfaceOf } from '../../../lib/journal/surface'
import type { Journal } from '../../../lib/model/journal'
import { inspectionSchema } from '../../../lib/model/inspection'
import type { Photo } from '../../../lib/model/photo'
import { project } from '../../../lib/photo/camera'
import { type Fit, fitPhoto } from '../../../lib/photo/cylinder-fit'
import { explainFit } from '../../../lib/photo/explain-fit'
import { cameraAt } from '../../../lib/photo/standpoint'
import { randomCase } from '../../fixtures/render/cases'

function fitted(journal: Journal, photo: Photo): Fit {
  const outcome = fitPhoto(journal, photo, null)
  if (!outcome.ok) throw new Error(outcome.reason.code)
  return outcome.value
}

function caseOf(seed: number): { journal: Journal; photo: Photo } {
  const { journals, photos } = inspectionSchema.parse(randomCase(seed, { focalKnown: false }).inspection)
  return { journal: journals[0], photo: photos[0] }
}

describe('what a sigma is made of', () => {
  it.each([11, 12, 13])('adds up in squares (case %i)', (seed) => {
    const { journal, photo } = caseOf(seed)
    for (const { sigma, parts } of explainFit(journal, fitted(journal, photo))) {
      expect(Math.hypot(...parts.map((part) => part.sigma))).toBeCloseTo(sigma, 10)
      expect(parts.map((part) => part.from)).toContain('focal')
    }
  })

  it.each([11, 12, 13])('loses the focal part when the focal length is known (case %i)', (seed) => {
    const { journal, photo } = caseOf(seed)
    const open = fitted(journal, photo)
    const known = fitted(journal, { ...photo, focalPx: open.camera.focalPx })
    const [angle] = explainFit(journal, open)
    const focal = angle.parts.find((part) => part.from === 'focal')?.sigma ?? 0
    const withoutFocal = Math.sqrt(angle.sigma ** 2 - focal ** 2)
    expect(explainFit(journal, known)[0].sigma / withoutFocal).toBeCloseTo(1, 1)
  })

  it('says nothing of the angle about the shaft where that is unknown', () => {
    const { journal, photo } = caseOf(14)
    const blind = { ...photo, handles: { ...photo.handles, oilHoles: [], clock: [] } }
    expect(explainFit(journal, fitted(journal, blind)).map((q) => q.quantity)).toEqual(['angle', 'fillet'])
  })
})

describe('what would help most', () => {
  it.each([11, 12, 13])('foretells the sigma that five more points on the rear ring leave (case %i)', (seed) => {
    const { journal, photo } = caseOf(seed)
    const before = fitted(journal, photo)
    const foretold = explainFit(journal, before).map((q) => q.help.find((h) => h.add === 'rear-ring')?.sigma ?? Number.NaN)
    const surface = surfaceOf(journal)
    const place = before.camera.rotation
    const at = before.camera.translation
    const eye = [0, 1, 2].map((i) => -(place[i] * at[0] + place[3 + i] * at[1] + place[6 + i] * at[2]))
    const half = Math.acos(surface.radius / Math.hypot(eye[0], eye[1]))
    const points = [-0.8, -0.4, 0, 0.4, 0.8].map((share): [number, number] => {
      const theta = Math.atan2(eye[1], eye[0]) + share * half
      const seen = project(before.camera, [surface.radius * Math.cos(theta), surface.radius * Math.sin(theta), surface.rearTangentZ])
      if (!seen) throw new Error('behind the camera')
      return [seen.u, seen.v]
    })
    const after = fitted(journal, {
      ...photo,
      handles: { ...photo.handles, rings: [...photo.handles.rings, { at: 'rear-fillet', points }] },
    })
    for (const [i, q] of explainFit(journal, after).entries()) expect(q.sigma / foretold[i]).toBeCloseTo(1, 1)
  })

  it('puts the most useful handle first and never promises to make it worse', () => {
    const { journal, photo } = caseOf(15)
    for (const { sigma, help } of explainFit(journal, fitted(journal, photo))) {
      expect(help.length).toBeGreaterThan(3)
      expect([...help].sort((a, b) => a.sigma - b.sigma)).toEqual(help)
      expect(help[help.length - 1].sigma).toBeLessThanOrEqual(sigma + 1e-12)
    }
  })
})

describe('what another photograph would do', () => {
  it.each([11, 12])('foretells the sigmas of one that is really taken and picked there (case %i)', (seed) => {
    const { journal, photo } = caseOf(seed)
    const foretold = explainFit(journal, fitted(journal, photo))
    const [{ leanDeg }] = foretold[0].photos
    const surface = surfaceOf(journal)
    const before = fitted(journal, photo).camera
    const eye = [0, 1].map((i) => -[0, 3, 6].reduce((sum, row, k) => sum + before.rotation[row + i] * before.translation[k], 0))
    const facingDeg = (Math.atan2(eye[1], eye[0]) * 180) / Math.PI
    const camera = cameraAt(surface, before, { facingDeg, leanDeg, nearness: 'whole' })
    const place = [0, 1, 2].map((i) => -[0, 3, 6].reduce((sum, row, k) => sum + camera.rotation[row + i] * camera.translation[k], 0))
    const facing = Math.atan2(place[1], place[0])
    const half = Math.acos(surface.radius / Math.hypot(place[0], place[1]))
    const seen = (theta: number, axial: number): [number, number] => {
      const { u, v } = project(camera, [surface.radius * Math.cos(theta), surface.radius * Math.sin(theta), axial]) ?? { u: 0, v: 0 }
      return [u, v]
    }
    const along = [0.1, 0.3, 0.5, 0.7, 0.9].map((share) => surface.frontTangentZ + share * (surface.rearTangentZ - surface.frontTangentZ))
    const around = [-0.8, -0.533, -0.267, 0, 0.267, 0.533, 0.8].map((share) => facing + share * half)
    const [hole] = journal.oilHoles
    const taken: Photo = {
      ...photo,
      handles: {
        ...photo.handles,
        sides: [along.map((z) => seen(facing + half, z)), along.map((z) => seen(facing - half, z))],
        rings: [
          { at: 'front-fillet', points: around.map((theta) => seen(theta, surface.frontTangentZ)) },
          { at: 'rear-fillet', points: around.map((theta) => seen(theta, surface.rearTangentZ)) },
        ],
        oilHoles: [{ id: hole.id, center: seen((hole.angleDeg * Math.PI) / 180, hole.axial) }],
      },
    }
    const { sigmas } = fitted(journal, taken)
    const [angle, fillet, roll] = foretold.map(({ photos }) => photos.find((p) => p.leanDeg === leanDeg)?.sigma ?? Number.NaN)
    expect(angle / sigmas.angleDeg).toBeCloseTo(1, 1)
    expect(fillet / (sigmas.filletMm ?? Number.NaN)).toBeCloseTo(1, 1)
    expect(roll / (sigmas.aroundMm ?? Number.NaN)).toBeCloseTo(1, 1)
  })
})
