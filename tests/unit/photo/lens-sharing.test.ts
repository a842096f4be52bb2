import { describe, expect, it } from 'vitest'
import type { Photo } from '../../../lib/model/photo'
import type { Fit } from '../../../lib/photo/cylinder-fit'
import { unknownIndex } from '../../../lib/photo/fit-state'
import { type LensUser, sharedLenses } from '../../../lib/photo/lens-sharing'

const user = (focal35Mm: number | null, own: { focalPx: number; sigma: number } | null, more: Partial<Photo> = {}): LensUser => ({
  photo: { width: 4000, height: 3000, focalPx: null, k1: null, ...more } as Photo,
  lens: { focal35Mm, focalMm: null },
  fit: own && ({ camera: { focalPx: own.focalPx }, unknowns: [unknownIndex.logFocal], covariance: Float64Array.of(own.sigma ** 2) } as Fit),
})
const near = { focalPx: 3000, sigma: 0.03 }
const members = (users: LensUser[]) => sharedLenses(users).focal.map((group) => group.map(({ photo }) => photo))

describe('photographs taken with one lens', () => {
  it('are those whose EXIF says the same, turned or not', () => {
    expect(members([user(26, near), user(26, near, { width: 3000, height: 4000 }), user(52, { focalPx: 6000, sigma: 0.03 })])).toEqual([
      [0, 1],
    ])
  })

  it('do not share a focal length with a picture of another size, nor with one whose focal length the file knows', () => {
    expect(members([user(26, near), user(26, near, { width: 2000, height: 1500 }), user(26, near, { focalPx: 3000 })])).toEqual([])
  })

  it('without EXIF join where their own fit agrees, loosely; a zoomed one does not', () => {
    const users = [user(26, near), user(26, near), user(null, { focalPx: 3120, sigma: 0.04 }), user(null, { focalPx: 6400, sigma: 0.04 })]
    const { focal } = sharedLenses(users)
    expect(focal.map((group) => group.map(({ photo }) => photo))).toEqual([[0, 1, 2]])
    expect(focal[0][2].sigma).toBeGreaterThan(3 * focal[0][0].sigma)
  })

  it('without EXIF and without a fit of their own share no focal length', () => {
    expect(members([user(26, near), user(26, near), user(null, null)])).toEqual([[0, 1]])
  })

  it('share k1: tightly at one zoom, loosely beyond it, not where the file knows it or EXIF names another lens', () => {
    const telephoto = user(77, { focalPx: 9000, sigma: 0.03 })
    telephoto.lens = { focal35Mm: 77, focalMm: 9 }
    const wide = [user(26, near), user(26, near)]
    for (const one of wide) one.lens = { focal35Mm: 26, focalMm: 6 }
    const { k1 } = sharedLenses([...wide, user(null, null), telephoto, user(26, near, { k1: 0 })])
    expect(k1.map(({ photo }) => photo)).toEqual([0, 1, 2])
    expect(k1[2].sigma).toBeGreaterThan(3 * k1[0].sigma)
  })
})
