/** What would settle a finding, most telling first, and what each outcome would mean. Nothing here clears a mark. */
import type { MarkConcern, NextTest, Pattern, Reason } from '../model/findings'

export type TestOutcome = { found: string; means: string }

type Test = { text: string; outcomes: TestOutcome[] }

const tests = {
  'mend-fit': {
    text: 'Look at the fit of its photograph again, or photograph the place anew',
    outcomes: [{ found: 'The fit is good', means: 'The mark is measured and judged like any other.' }],
  },
  'pick-roll': {
    text: 'Pick an oil hole or a witness mark in its photograph, or photograph it with one in view',
    outcomes: [{ found: 'The angle about the shaft is known', means: 'The distance to the oil holes is measured and judged.' }],
  },
  'pick-slide': {
    text: 'Pick a ring in its photograph, or photograph it with a cheek in view',
    outcomes: [{ found: 'The place along the journal is known', means: 'The distance to the fillets is measured and judged.' }],
  },
  'photograph-closer': {
    text: 'Photograph it closer and draw it again with more points',
    outcomes: [{ found: 'Its angle is certain enough', means: 'It is judged by that angle.' }],
  },
  'particles-both-ways': {
    text: 'Magnetic particles in both directions, plating stripped at the mark',
    outcomes: [
      {
        found: 'An indication in the steel',
        means: 'A crack. The engine maker’s limits decide; what manuals allow is for light stringers, not for cracks (TM 5-3810-289-34).',
      },
      {
        found: 'No indication',
        means: 'Still to be judged by a qualified inspector: direction of the field, current and cleanliness decide what could be seen.',
      },
    ],
  },
  'particles-along': {
    text: 'Magnetic particles with current through the shaft: it shows lines that run along it',
    outcomes: [
      { found: 'An indication', means: 'A crack, a seam or a grinding check: a qualified inspector says which.' },
      { found: 'No indication', means: 'Still to be judged: look at the etch for grinding burn.' },
    ],
  },
  'particles-coil': {
    text: 'Magnetic particles with a coil: it shows lines that run around; once before and once after the plating is stripped or the journal is cut',
    outcomes: [
      { found: 'Gone with the plating or the cut', means: 'It lay in what was taken off. Look at the whole journal again.' },
      { found: 'Still there', means: 'It lies in the steel. Treat as cracked.' },
    ],
  },
  'plating-gauge': {
    text: 'Measure the plating at the mark',
    outcomes: [
      { found: 'Plating found', means: 'The line may lie in it. Strip it or cut through it, then look again with particles. Still hold.' },
      { found: 'No plating found', means: 'The line is in the steel. Particles in both directions before anything is ground.' },
    ],
  },
  'wipe-and-probe': {
    text: 'Clean it again and feel it: does it wipe off, is it a groove, a ridge or a step?',
    outcomes: [
      { found: 'It wipes off', means: 'Take the mark out and say so in its note.' },
      { found: 'It stays', means: 'The next test decides.' },
    ],
  },
  'etch-and-hardness': {
    text: 'Etch the journal for grinding burn and test its hardness',
    outcomes: [
      { found: 'Burn or soft', means: 'Heat checks are likely: treat as cracked.' },
      { found: 'Neither', means: 'Proves nothing by itself: particles decide.' },
    ],
  },
  'depth-gauge': {
    text: 'Eddy current or ultrasonics for the depth',
    outcomes: [{ found: 'A depth', means: 'It tells whether a cut could take it out. A line in a radius is not cut out.' }],
  },
} as const satisfies Record<string, Test>

export type TestCode = keyof typeof tests

/** The outcomes of a test, for the finding's page. */
export function testOutcomes(code: string): readonly TestOutcome[] {
  return code in tests ? tests[code as TestCode].outcomes : []
}

export function nextTests(pattern: Pattern, concern: MarkConcern, reasons: readonly Reason[], coating: string): NextTest[] {
  const codes = new Set(reasons.map((r) => r.code))
  return testCodes(pattern, concern, codes, coating).map((code) => ({ code, text: tests[code].text }))
}

function testCodes(pattern: Pattern, concern: MarkConcern, reasons: ReadonlySet<string>, coating: string): TestCode[] {
  switch (pattern) {
    case 'radius-crack':
    case 'oil-hole-crack':
    case 'diagonal-crack':
      return ['particles-both-ways', 'depth-gauge']
    case 'unresolved':
      return [...unresolvedTests(reasons), 'particles-both-ways']
    case 'near-oil-hole':
      return ['particles-both-ways', 'wipe-and-probe']
    case 'axial-check':
      return concern === 'treat-as-cracked'
        ? ['particles-along', 'etch-and-hardness', 'depth-gauge']
        : ['particles-along', 'etch-and-hardness']
    case 'score-ring':
      return ['wipe-and-probe', 'particles-coil', 'depth-gauge']
    case 'plating-craze':
      return ['plating-gauge', 'particles-coil', 'wipe-and-probe']
    case 'line-around':
      return coating === 'none'
        ? ['particles-coil', 'wipe-and-probe', 'depth-gauge']
        : ['plating-gauge', 'particles-coil', 'wipe-and-probe']
    case 'patch':
      return ['wipe-and-probe', 'particles-both-ways']
    case 'pit-or-stain':
      return ['wipe-and-probe']
  }
}

function unresolvedTests(reasons: ReadonlySet<string>): TestCode[] {
  const first: TestCode[] = []
  if (['fit-missing', 'fit-not-trusted', 'off-journal', 'grazing'].some((code) => reasons.has(code))) first.push('mend-fit')
  if (reasons.has('slide-unknown')) first.push('pick-slide')
  if (reasons.has('roll-unknown')) first.push('pick-roll')
  if (first.length === 0) first.push('photograph-closer')
  return first
}
