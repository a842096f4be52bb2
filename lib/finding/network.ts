/**
 * Networks: three or more lines joined by small gaps whose directions agree neither on one (doubled angles) nor on two at
 * right angles (fourfold angles). A line belongs to one as soon as some joined lines about it make one: what else is
 * joined to them never takes it out again.
 */
import type { GroupMember } from './group-member'
import { ruleCard } from './rule-card'

const card = ruleCard.values

/** Of lines that hang together, those that belong to a network. `joined(i, j)` tells whether two of them touch. */
export function networkOf(set: readonly GroupMember[], joined: (i: number, j: number) => boolean): GroupMember[] {
  const sums = set.map(directionSums)
  const all = set.map((_, i) => i)
  const inSome = new Set<number>()
  for (const i of all) if (!inSome.has(i)) for (const k of tangledAbout(i, all, sums, joined)) inSome.add(k)
  return set.filter((_, i) => inSome.has(i))
}

type Sums = { length: number; cos2: number; sin2: number; cos4: number; sin4: number }

/** Leaves out, one by one, the line that hides the tangle most, never `kept` nor one that holds the others together. */
function tangledAbout(
  kept: number,
  all: readonly number[],
  sums: readonly Sums[],
  joined: (i: number, j: number) => boolean,
): readonly number[] {
  let members = all
  while (members.length >= 3) {
    if (commonDirection(members, sums) < card.networkResultant) return members
    const without = members
      .filter((i) => i !== kept)
      .map((i) => members.filter((k) => k !== i))
      .sort((a, b) => commonDirection(a, sums) - commonDirection(b, sums))
    members = without.find((rest) => hangTogether(rest, joined)) ?? []
  }
  return []
}

/** The larger of the doubled-angle and the fourfold-angle resultant over path length, 0..1. */
function commonDirection(members: readonly number[], sums: readonly Sums[]): number {
  const total = { length: 0, cos2: 0, sin2: 0, cos4: 0, sin4: 0 }
  for (const i of members) for (const key of ['length', 'cos2', 'sin2', 'cos4', 'sin4'] as const) total[key] += sums[i][key]
  return Math.max(Math.hypot(total.cos2, total.sin2), Math.hypot(total.cos4, total.sin4)) / total.length
}

function directionSums({ pieces }: GroupMember): Sums {
  const total = { length: 0, cos2: 0, sin2: 0, cos4: 0, sin4: 0 }
  for (const { length, cos2, sin2 } of pieces) {
    if (length === 0) continue
    total.length += length
    total.cos2 += cos2
    total.sin2 += sin2
    total.cos4 += (cos2 * cos2 - sin2 * sin2) / length
    total.sin4 += (2 * cos2 * sin2) / length
  }
  return total
}

function hangTogether(members: readonly number[], joined: (i: number, j: number) => boolean): boolean {
  const reached = new Set([members[0]])
  for (const i of reached) for (const k of members) if (!reached.has(k) && joined(i, k)) reached.add(k)
  return reached.size === members.length
}
