/** A photograph laid wrongly by a part of a turn is the worst outcome: what looks alike without being the same place is refused. */
import { describe, expect, it } from 'vitest'
import { settledTurns } from '../../../lib/photo/settled-turns'
import type { StripPair } from '../../../lib/photo/strip-pairs'
import { facing, groundOfSeed, radius, strip, stripSurface, turnOf, type View, wrapped } from './ground-strips'

/** The first photograph's angle is known. */
const settled = (views: readonly View[]) =>
  settledTurns(
    stripSurface,
    views.map((view, i) => ({ strip: strip(view), glow: null, facing, known: i === 0 })),
  )
const pairsOf = (views: readonly View[]) => settled(views).pairs
const errorMm = (views: readonly View[], { first, second, turn }: StripPair) =>
  Math.abs(radius * wrapped(turn - (turnOf(views[second]) - turnOf(views[first]))))
const bareLay = { stains: 0, pits: 0, scratches: 0 }

describe('photographs that show the same surface', () => {
  it('are paired where they overlap, to within a millimetre, with ties over some breadth', () => {
    const ground = groundOfSeed(51)
    const views = [0, 50, 100, 260].map((facingDeg, i) => ({ ground, facingDeg, seed: i + 1, lamps: 30 }))
    const pairs = pairsOf(views)
    expect(pairs.map(({ first, second }) => [first, second])).toEqual(
      expect.arrayContaining([
        [0, 1],
        [1, 2],
      ]),
    )
    expect(pairs.some(({ first, second }) => first === 2 && second === 3)).toBe(false)
    for (const pair of pairs) {
      expect(errorMm(views, pair)).toBeLessThan(1)
      expect(pair.ties.length).toBeGreaterThanOrEqual(2)
    }
  })

  it('are turned into the frame of the one whose angle is known, and what shows none of it is not', () => {
    const ground = groundOfSeed(52)
    const views = [0, 35, 70, 215].map((facingDeg, i) => ({ ground, facingDeg, seed: i + 1 }))
    const { turns } = settled(views)
    expect(turns[3]).toBeNull()
    for (const [i, view] of views.slice(0, 3).entries())
      expect(radius * Math.abs(wrapped((turns[i] ?? Number.NaN) - (turnOf(view) - turnOf(views[0]))))).toBeLessThan(1)
  })
})

describe('a photograph by itself', () => {
  it('keeps the angle that it knows', () => {
    expect(settled([{ ground: groundOfSeed(53), facingDeg: 20, seed: 1 }])).toEqual({ turns: [0], pairs: [] })
  })
})

describe('photographs that only look alike', () => {
  it('are refused: of two journals under the same lamps, twelve pairs', () => {
    for (let seed = 60; seed < 72; seed++) {
      const lampLean = seed % 2 ? 0.03 : 0
      const views = [
        { ground: groundOfSeed(seed), facingDeg: 0, seed, lamps: 40, lampLean },
        { ground: groundOfSeed(seed + 100), facingDeg: 45, seed: seed + 1, lamps: 40, lampLean },
      ]
      expect(pairsOf(views)).toEqual([])
    }
  }, 60_000)

  it('are refused: two oil holes across from each other on bare steel, where only the one is seen in either', () => {
    const ground = groundOfSeed(80, bareLay)
    const views = [
      { ground, facingDeg: 0, seed: 1, hole: { angleDeg: 20, s: 12, radius: 3.5 } },
      { ground, facingDeg: 180, seed: 2, hole: { angleDeg: 170, s: 12, radius: 3.5 } },
    ]
    expect(pairsOf(views)).toEqual([])
  })

  it('are refused: what comes again every 40 degrees fits at many turns alike', () => {
    const once = groundOfSeed(84)
    const period = (40 * Math.PI) / 180
    const ground = (theta: number, s: number) => once(theta - period * Math.floor(theta / period), s)
    expect(pairsOf([0, 60, 190].map((facingDeg, i) => ({ ground, facingDeg, seed: i + 1 })))).toEqual([])
  })

  it('are refused or laid right: chatter at even distances', () => {
    const views = [0, 45, 200].map((facingDeg, i) => ({
      ground: groundOfSeed(81, { ...bareLay, chatter: 9 }),
      facingDeg,
      seed: i + 1,
    }))
    for (const pair of pairsOf(views)) expect(errorMm(views, pair)).toBeLessThan(1)
  })

  it('are refused or laid right: nothing but lay', () => {
    const views = [0, 45, 90, 200].map((facingDeg, i) => ({ ground: groundOfSeed(82, bareLay), facingDeg, seed: i + 1 }))
    for (const pair of pairsOf(views)) expect(errorMm(views, pair)).toBeLessThan(1)
  })

  it('are refused from one standpoint: a second photograph without a turn of the shaft cannot be told from still lamps', () => {
    const ground = groundOfSeed(83)
    expect(
      pairsOf([
        { ground, facingDeg: 0, seed: 1 },
        { ground, facingDeg: 5, seed: 2 },
      ]),
    ).toEqual([])
  })
})
