import { describe, expect, it } from 'vitest'
import { findingsOf, line, mmAround, type MapMark, patch, straight } from './inspected'

const noHole = { oilHoles: [] }
const groupsOf = (marks: MapMark[], journal: Record<string, unknown> = {}) =>
  findingsOf(marks, { ...noHole, ...journal }).groups.map(({ kind, markIds }) => `${kind}: ${markIds.join(' ')}`)

describe('a chain', () => {
  it('one line in three strokes: gaps shorter than the shorter stroke, nearly one direction', () => {
    expect(groupsOf([straight('a', [0, 30], 8, 45), straight('b', [8, 38], 8, 45), straight('c', [16, 46], 8, 45)])).toEqual([
      'chain: a b c',
    ])
  })

  it('not where a gap is as long as the shorter one, nor 15 degrees apart', () => {
    const along = (id: string, from: number, to: number) =>
      line(id, [
        [0, from],
        [0, to],
      ])
    expect(groupsOf([along('a', 10, 16), along('b', 20.9, 25.9)])).toEqual(['chain: a b'])
    expect(groupsOf([along('a', 10, 16), along('b', 21.1, 26.1)])).toEqual([])
    const turned = (deg: number) => [
      straight('a', [0, 30], 10, 0),
      line('b', [
        [0, 36],
        [10 * Math.sin((deg * Math.PI) / 180), 36 + 10 * Math.cos((deg * Math.PI) / 180)],
      ]),
    ]
    expect(groupsOf(turned(14.9))).toEqual(['chain: a b'])
    expect(groupsOf(turned(15.1))).toEqual([])
  })

  it('across the zero line', () => {
    const around = (id: string, from: number, to: number) =>
      line(id, [
        [mmAround(from), 30],
        [mmAround(to), 30],
      ])
    expect(groupsOf([around('a', 330, 355), around('b', 2, 30)])).toEqual(['chain: a b'])
    expect(groupsOf([around('a', 330, 358), around('b', 365, 380)])).toEqual(['chain: a b'])
  })

  it('of strokes around makes a ring of all of them, and each keeps its own numbers', () => {
    const strokes = Array.from({ length: 6 }, (_, i) =>
      line(`k${i}`, [
        [mmAround(60 * i), 30],
        [mmAround(60 * i + 45), 30],
      ]),
    )
    const { marks, groups } = findingsOf(strokes, noHole)
    expect(groups.filter((g) => g.kind === 'chain').map((g) => g.markIds.length)).toEqual([6])
    expect(marks.map((m) => m.pattern)).toEqual(Array(6).fill('score-ring'))
    expect(marks.every((m) => m.aroundDeg !== null && Math.abs(m.aroundDeg - 45) < 1e-6)).toBe(true)
    const five = findingsOf(strokes.slice(0, 5), noHole)
    expect(five.marks.map((m) => m.pattern)).toEqual(Array(5).fill('line-around'))
  })

  it('lines that run beside each other are no strokes of one line', () => {
    expect(groupsOf([straight('a', [0, 30], 10, 0), straight('b', [2, 31], 10, 0)])).toEqual([])
  })
})

describe('parallel lines', () => {
  const rank = (turns: number[], apart: number) => turns.map((deg, i) => straight(`k${i}`, [i * apart, 30], 12, deg))

  it('three or more within 10 degrees of their mean, side by side, at most 10 mm apart', () => {
    expect(groupsOf(rank([0, 0, 0], 10))).toEqual(['parallel: k0 k1 k2'])
    expect(groupsOf(rank([0, 0, 0], 10.1))).toEqual([])
    expect(groupsOf(rank([0, 0], 5))).toEqual([])
    expect(groupsOf(rank([-9.9, 0, 9.9], 8))).toEqual(['parallel: k0 k1 k2'])
    expect(groupsOf(rank([-12, 0, 12], 8))).toEqual([])
  })

  it('overlap at least half the shorter: half is enough, less is not', () => {
    const shifted = (by: number) =>
      [0, 1, 2].map((i) =>
        line(`k${i}`, [
          [i * 6, 20 + i * by],
          [i * 6, 30 + i * by],
        ]),
      )
    expect(groupsOf(shifted(5))).toEqual(['parallel: k0 k1 k2'])
    expect(groupsOf(shifted(5.2)).filter((g) => g.startsWith('parallel'))).toEqual([])
  })

  it('across the zero line', () => {
    expect(groupsOf([350, 0, 10].map((deg, i) => straight(`k${i}`, [mmAround(deg), 30], 12, 0)))).toEqual(['parallel: k0 k1 k2'])
  })
})

describe('crossed lines', () => {
  it('a diagonal of each hand that cross, or lie within 5 mm', () => {
    expect(groupsOf([straight('a', [0, 30], 12, 45), straight('b', [0, 30], 12, -45)])).toEqual(['crossed: a b'])
    const apart = (gap: number) => [
      line('a', [
        [0, 30],
        [8, 38],
      ]),
      line('b', [
        [0, 30 - gap],
        [8, 22 - gap],
      ]),
    ]
    expect(groupsOf(apart(5))).toContain('crossed: a b')
    expect(groupsOf(apart(5.01))).toEqual([])
  })

  it('not two of one hand, nor a diagonal and one along', () => {
    expect(groupsOf([straight('a', [0, 30], 12, 45), straight('b', [0, 30], 12, 70)])).toEqual([])
    expect(groupsOf([straight('a', [0, 30], 12, 45), straight('b', [0, 30], 12, -5)])).toEqual([])
  })

  it('each keeps its pattern', () => {
    const { marks } = findingsOf([straight('a', [0, 30], 12, 45), straight('b', [0, 30], 12, -45)], noHole)
    expect(marks.map((m) => m.pattern)).toEqual(['diagonal-crack', 'diagonal-crack'])
  })
})

describe('a network', () => {
  const star = (turns: number[]) => turns.map((deg, i) => straight(`k${i}`, [0, 30], 9, deg))

  it('three or more joined, without one common direction or two at right angles', () => {
    expect(groupsOf(star([0, 60, -60]))).toContain('network: k0 k1 k2')
    expect(groupsOf(star([10, 46, 82, -62, -26]))).toContain('network: k0 k1 k2 k3 k4')
    // a cross of two directions has a fourfold resultant of 1
    expect(
      groupsOf([...star([0, 90]), straight('c', [3, 30], 9, 0), straight('d', [0, 33], 9, 90)]).some((g) => g.startsWith('network')),
    ).toBe(false)
    expect(groupsOf(star([0, 10, 20])).some((g) => g.startsWith('network'))).toBe(false)
  })

  it('joined by gaps under 2 mm', () => {
    const ray = (id: string, deg: number, inner: number) => {
      const [u, v] = [Math.sin((deg * Math.PI) / 180), Math.cos((deg * Math.PI) / 180)]
      return line(id, [
        [inner * u, 30 + inner * v],
        [(inner + 8) * u, 30 + (inner + 8) * v],
      ])
    }
    // inner ends on a circle: neighbours are sqrt 3 times its radius apart
    const rays = (gap: number) => [0, 120, 240].map((deg, i) => ray(`k${i}`, deg, gap / Math.sqrt(3)))
    expect(groupsOf(rays(1.99))).toContain('network: k0 k1 k2')
    expect(groupsOf(rays(2.01)).some((g) => g.startsWith('network'))).toBe(false)
  })

  it('stays one when a long line is joined to it, which itself stays out', () => {
    expect(groupsOf([...star([0, 60, -60]), straight('long', [0, 30], 50, 90)])).toContain('network: k0 k1 k2')
  })

  it('on an overheated journal all its members are treated as cracked', () => {
    const marks = [straight('a', [0, 30], 9, 90), straight('b', [0, 30], 9, 30), straight('c', [0, 30], 9, -30)]
    const cold = findingsOf(marks, noHole).marks.find((m) => m.id === 'a')
    const hot = findingsOf(marks, { ...noHole, overheated: true }).marks.find((m) => m.id === 'a')
    expect(cold).toMatchObject({ pattern: 'line-around', concern: 'hold' })
    expect(hot).toMatchObject({ pattern: 'line-around', concern: 'treat-as-cracked' })
    expect(hot?.reasons.map((r) => r.code)).toContain('overheated')
  })
})

describe('groups', () => {
  it('hold lines alone: areas and short ones stay out', () => {
    expect(
      groupsOf([straight('a', [0, 30], 8, 45), patch('p', [8, 38], 6, 6), straight('c', [16, 46], 0.5, 45, { sigmaMm: 0.3 })]),
    ).toEqual([])
  })

  it('are numbered through the shaft', () => {
    const { groups } = findingsOf(
      [straight('a', [0, 30], 12, 45), straight('b', [0, 30], 12, -45), straight('c', [60, 30], 12, 45), straight('d', [60, 30], 12, -45)],
      noHole,
    )
    expect(groups.map((g) => g.id)).toEqual(['g1', 'g2'])
  })
})

describe('a line beside a pit', () => {
  const pit = patch('p', [0, 30], 4, 4, { named: 'pit' })
  const withLine = (gap: number, sigmaMm = 0) => findingsOf([pit, straight('l', [2 + gap, 30], 8, 0, { sigmaMm })], noHole).marks[0]

  it('within 1 mm makes it a patch, the limit inside; beyond it stays a pit', () => {
    expect(withLine(1)).toMatchObject({ pattern: 'patch', concern: 'hold' })
    expect(withLine(1.01).pattern).toBe('pit-or-stain')
    expect(withLine(-2).pattern).toBe('patch')
    expect(withLine(1.4, 0.3).pattern).toBe('patch')
  })

  it('inside the outline, across the zero line, or a slender patch', () => {
    expect(findingsOf([pit, straight('l', [0, 30], 2, 0)], noHole).marks[0].pattern).toBe('patch')
    expect(findingsOf([pit, straight('l', [mmAround(360) - 2.5, 30], 8, 0)], noHole).marks[0].pattern).toBe('patch')
    expect(findingsOf([pit, patch('l', [3.2, 30], 1, 8)], noHole).marks[0].pattern).toBe('patch')
    expect(findingsOf([pit, patch('l', [5, 30], 4, 4)], noHole).marks[0].pattern).toBe('pit-or-stain')
  })
})
