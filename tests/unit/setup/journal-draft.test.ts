/** A journal while it is typed: what is missing, what cannot be, and back again from a finished one. */
import { describe, expect, it } from 'vitest'
import { withChange } from '../../../components/setup/draft-change'
import { draftOf, emptyDraft, emptyEnd, type JournalDraft, journalOf, missingWord, newHole } from '../../../components/setup/journal-draft'
import type { Journal } from '../../../lib/model/journal'

const frame = { name: 'P1', kind: 'pin' } as const
const typed: JournalDraft = { ...emptyDraft, diameter: 57.15, width: 30, front: { ...emptyEnd, radius: 2.5 } }
const hole = { ...newHole([]), mouthAround: 8, mouthAlong: 10 }

describe('a draft', () => {
  it('names every missing length at its field', () => {
    const made = journalOf({ ...emptyDraft, holes: [newHole([])], coating: 'known' }, frame, 'mm')
    const places = ['diameter', 'width', 'front.radius', 'holes.0.mouthAround', 'holes.0.mouthAlong', 'platingPerSide']
    expect(made).toEqual({ ok: false, reason: Object.fromEntries(places.map((place) => [place, missingWord])) })
  })

  it('with ends wider than the journal is refused at the width, in the units of the page', () => {
    const narrow = journalOf({ ...typed, width: 5.08, front: { ...emptyEnd, radius: 3.81 } }, frame, 'in')
    expect(narrow.ok ? '' : narrow.reason.width).toMatch(/0\.2 in wide, its two ends take 0\.3 in/)
  })

  it('with a hole off the journal is refused at that hole', () => {
    const off = journalOf({ ...typed, holes: [hole, { ...hole, id: 'h2', middle: false, axial: 31 }] }, frame, 'mm')
    expect(off.ok ? {} : Object.keys(off.reason)).toEqual(['holes.1.axial'])
  })

  it('puts a hole half way, and makes inner ends of a split pin steps', () => {
    const made = journalOf({ ...typed, holes: [hole] }, { ...frame, stepEnds: { front: false, rear: true } }, 'mm')
    expect(made).toMatchObject({
      ok: true,
      value: { fillets: { front: { form: 'tangent', radius: 2.5 }, rear: { form: 'step' } }, oilHoles: [{ axial: 15 }] },
    })
  })

  it('of a finished journal makes that journal again, its printed strip included', () => {
    const journal: Journal = {
      id: 'M2',
      kind: 'main',
      diameter: 63.5,
      width: 28.123456789,
      fillets: { front: { form: 'tangent', radius: 3, sigma: 0.1 }, rear: { form: 'undercut', width: 2.5 } },
      oilHoles: [{ id: 'oil', angleDeg: -12.5, axial: 9.87, mouthAround: 6, mouthAlong: 7, tiltDeg: 12 }],
      coating: { kind: 'known', perSide: 0.08 },
      overheated: true,
      strip: { diameter: 63.5, toFront: 'front', frontEdge: null, zeroAngleDeg: null, gapMm: null },
    }
    expect(journalOf(draftOf(journal), { name: 'M2', kind: 'main', kept: journal }, 'mm')).toEqual({ ok: true, value: journal })
  })
})

describe('a change for all pins', () => {
  const other: JournalDraft = { ...typed, diameter: 57.1, holes: [{ ...hole, angleDeg: 196 }] }

  it('carries over what was changed, and leaves the exceptions', () => {
    const seen = { ...hole, angleDeg: 60 }
    const before = { ...typed, holes: [seen] }
    const after = { ...before, width: 31, front: { ...before.front, radius: 3 }, holes: [{ ...seen, mouthAround: 9 }] }
    expect(withChange(other, before, after)).toEqual({
      ...other,
      width: 31,
      front: { ...other.front, radius: 3 },
      holes: [{ ...other.holes[0], mouthAround: 9 }],
    })
  })

  it('adds and takes out holes', () => {
    const before = { ...typed, holes: [hole] }
    const second = { ...hole, id: 'h2' }
    expect(withChange(other, before, { ...before, holes: [hole, second] }).holes.map(({ id }) => id)).toEqual(['h1', 'h2'])
    expect(withChange(other, before, { ...before, holes: [] }).holes).toEqual([])
  })
})
