/** The facts of a finding for its table: what was found, measured, limit, what it speaks for, and where the limit comes from. */
import { type RuleName, ruleSources } from '@/lib/finding/rule-card'
import type { Reason } from '@/lib/model/findings'
import type { Units } from '@/lib/model/inspection'
import { formatAngle, formatLength } from '@/lib/model/units'

export type ReasonRow = { code: string; found: string; measured: string; limit: string; speaks: string; source: string }

type Words = { found: string; speaks: string; rule: RuleName | null; limit?: (limit: string) => string }

const within = (limit: string) => `up to ${limit}`
const beyond = (limit: string) => `over ${limit}`

const words: Record<string, Words> = {
  'seen-fillet': { found: 'A person saw it enter the fillet', speaks: 'for bending', rule: null },
  'seen-cheek': { found: 'A person saw it enter the cheek', speaks: 'for bending', rule: null },
  'seen-hole': { found: 'A person saw it enter the oil hole', speaks: 'for torsion', rule: null },
  'seen-branches': { found: 'A person saw it branch', speaks: 'either way', rule: null },
  'in-front-fillet': { found: 'Reaches into the front fillet', speaks: 'for bending', rule: 'radiusBandFactor', limit: () => 'any' },
  'in-rear-fillet': { found: 'Reaches into the rear fillet', speaks: 'for bending', rule: 'radiusBandFactor', limit: () => 'any' },
  'in-front-radius-band': { found: 'From the front fillet, at worst', speaks: 'for bending', rule: 'radiusBandFactor', limit: within },
  'in-rear-radius-band': { found: 'From the rear fillet, at worst', speaks: 'for bending', rule: 'radiusBandFactor', limit: within },
  'away-from-front-fillet': {
    found: 'Away from the front fillet, at worst',
    speaks: 'not for bending',
    rule: 'radiusBandFactor',
    limit: beyond,
  },
  'away-from-rear-fillet': {
    found: 'Away from the rear fillet, at worst',
    speaks: 'not for bending',
    rule: 'radiusBandFactor',
    limit: beyond,
  },
  'slide-unknown': { found: 'Distance to the fillets', speaks: 'not known', rule: null },
  'roll-unknown': { found: 'Distance to the oil hole', speaks: 'not known', rule: null },
  'touches-oil-hole': { found: 'Touches the oil hole', speaks: 'for torsion', rule: 'touchMm', limit: within },
  'in-oil-hole-band': { found: 'From the oil hole, at worst', speaks: 'for torsion', rule: 'holeBandLeastMm', limit: within },
  'away-from-oil-hole': { found: 'Away from the oil hole, at worst', speaks: 'not for torsion', rule: 'holeBandLeastMm', limit: beyond },
  'aims-at-oil-hole': { found: 'Runs towards the oil hole', speaks: 'for torsion', rule: 'aimReachFactor', limit: within },
  diagonal: { found: 'Runs diagonally', speaks: 'for torsion', rule: 'axialMaxDeg', limit: beyond },
  'diagonal-stretch': {
    found: 'A stretch of it runs diagonally',
    speaks: 'for torsion',
    rule: 'stretchMm',
    limit: (limit) => `under ${limit}`,
  },
  'runs-along': { found: 'Runs along the shaft', speaks: 'not for torsion', rule: 'axialMaxDeg', limit: within },
  'runs-around': {
    found: 'Runs around the journal',
    speaks: 'not for torsion',
    rule: 'aroundMinDeg',
    limit: (limit) => `${limit} or more`,
  },
  ring: { found: 'Goes around the journal', speaks: 'for a score', rule: 'ringDeg', limit: (limit) => `${limit} or more` },
  'fit-not-trusted': { found: 'The fit of its photograph', speaks: 'not known', rule: 'trustChiSquareShare' },
  'fit-missing': { found: 'The fit of its photograph', speaks: 'not known', rule: null },
  'off-journal': { found: 'A point misses the journal', speaks: 'not known', rule: null },
  grazing: { found: 'Seen too flatly to measure', speaks: 'not known', rule: null },
  'too-short': { found: 'Too short for a direction', speaks: 'not known', rule: 'shortFactor', limit: (limit) => `under ${limit}` },
  'interval-reaches-diagonal': { found: 'Its angle may reach the diagonal', speaks: 'not known', rule: 'confidenceSigmas' },
  coating: { found: 'Hard plating', speaks: 'either way', rule: null },
  overheated: { found: 'Heat colour or a spun bearing', speaks: 'for heat cracks', rule: null },
  'feel-catches': { found: 'Your fingernail catches', speaks: 'either way', rule: null },
  area: { found: 'A patch, longest side', speaks: 'either way', rule: 'pitLongestMm', limit: within },
  'slender-area': { found: 'Three times as long as wide', speaks: 'measured as a line', rule: 'pitSlenderness' },
  named: { found: 'A person named it', speaks: 'to record', rule: null },
  'not-sure-to-record': { found: 'May still be a line or reach a band', speaks: 'against recording only', rule: 'recordSigmas' },
  'line-near': { found: 'A line lies in it or beside it', speaks: 'against a pit', rule: 'pitLineGapMm', limit: within },
}

export function reasonRow(reason: Reason, units: Units): ReasonRow {
  const own = words[reason.code]
  const limit = reason.limit === null ? '' : quantity(reason.limit, reason.unit, units)
  return {
    code: reason.code,
    found: own?.found ?? inUnits(reason.text, units),
    measured: reason.value === null ? '–' : typeof reason.value === 'string' ? reason.value : quantity(reason.value, reason.unit, units),
    limit: limit === '' ? '–' : (own?.limit?.(limit) ?? limit),
    speaks: own?.speaks ?? '',
    source: own?.rule ? ruleSources[own.rule] : own ? 'what a person recorded' : '',
  }
}

/** A sentence of the findings with its lengths in the units of the screen. */
export function inUnits(text: string, units: Units): string {
  if (units === 'mm') return text
  return text.replace(/(\d+(?:\.\d+)?) mm/g, (_, mm: string) => formatLength(Number(mm), units))
}

function quantity(value: number, unit: Reason['unit'], units: Units): string {
  if (unit === 'mm') return formatLength(value, units)
  if (unit === 'deg') return formatAngle(value)
  if (unit === 'px') return `${value.toFixed(1)} px`
  return value.toFixed(1)
}
