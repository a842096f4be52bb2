/** Marks that belong together: labels for the eye, each member keeps its own pattern. */
import { axialDifference, halfAngle, worstStretchAngle } from '../journal/map-path'
import type { Surface } from '../journal/surface'
import type { Group } from '../model/findings'
import { lineGap, nearestEnds, sideBySide } from './flat-line'
import type { GroupMember } from './group-member'
import { networkOf } from './network'
import { atLeast, atMost, isDiagonal } from './pattern'
import { ruleCard } from './rule-card'

export type JournalGroups = {
  groups: Omit<Group, 'id'>[]
  /** Extent around the journal of each chain member's whole chain, degrees. */
  chainAroundDeg: Map<string, number>
}

const card = ruleCard.values
const radians = (degrees: number) => (degrees * Math.PI) / 180

/** Groups among the lines of one journal that share a frame. */
export function groupsOf(surface: Surface, members: readonly GroupMember[]): JournalGroups {
  const turn = 2 * Math.PI * surface.radius
  const groups: Omit<Group, 'id'>[] = []
  const chainAroundDeg = new Map<string, number>()
  for (const chain of components(members, (a, b) => chained(a, b, turn))) {
    const around = chainExtentDeg(chain)
    for (const member of chain) chainAroundDeg.set(member.id, around)
    groups.push({ kind: 'chain', markIds: chain.map((m) => m.id) })
  }
  for (const set of components(members, (a, b) => besideEachOther(a, b, turn))) {
    const parallel = withinOfMean(set)
    if (parallel.length >= 3) groups.push({ kind: 'parallel', markIds: parallel.map((m) => m.id) })
  }
  for (const set of components(members, (a, b) => crossing(a, b, turn))) groups.push({ kind: 'crossed', markIds: set.map((m) => m.id) })
  const joined = (a: GroupMember, b: GroupMember) => lineGap(a.line, b.line, turn) < card.networkGapMm
  for (const set of components(members, joined)) {
    const touching = set.map((a) => set.map((b) => joined(a, b)))
    const network = networkOf(set, (i, j) => touching[i][j])
    if (network.length >= 3) groups.push({ kind: 'network', markIds: network.map((m) => m.id) })
  }
  return { groups, chainAroundDeg }
}

function chained(a: GroupMember, b: GroupMember, turn: number): boolean {
  if (Math.abs(axialDifference(a.angle, b.angle)) >= radians(card.chainTurnDeg)) return false
  // lines that run beside each other are no strokes of one line
  if (atLeast(sideBySide(a.line, b.line, meanAngle([a, b]), turn).overlapShare, 0.5)) return false
  return nearestEnds(a.line, b.line, turn) < Math.min(a.length, b.length)
}

function besideEachOther(a: GroupMember, b: GroupMember, turn: number): boolean {
  if (Math.abs(axialDifference(a.angle, b.angle)) > 2 * radians(card.parallelTurnDeg)) return false
  const { overlapShare, apart } = sideBySide(a.line, b.line, meanAngle([a, b]), turn)
  return atLeast(overlapShare, 0.5) && atMost(apart, card.parallelGapMm)
}

/** Drops the member furthest from the mean direction until all lie within the limit. */
function withinOfMean(set: readonly GroupMember[]): GroupMember[] {
  let kept = [...set]
  while (kept.length >= 3) {
    const mean = meanAngle(kept)
    const off = kept.map((m) => Math.abs(axialDifference(m.angle, mean)))
    const worst = off.indexOf(Math.max(...off))
    if (off[worst] <= radians(card.parallelTurnDeg) + 1e-12) return kept
    kept = kept.filter((_, i) => i !== worst)
  }
  return kept
}

function crossing(a: GroupMember, b: GroupMember, turn: number): boolean {
  const degrees = (angle: number | null) => (angle === null ? null : (Math.abs(angle) * 180) / Math.PI)
  const diagonal = (m: GroupMember) => isDiagonal(degrees(m.angle)) || isDiagonal(degrees(worstStretchAngle(m.pieces, card.stretchMm)))
  return diagonal(a) && diagonal(b) && a.angle * b.angle < 0 && atMost(lineGap(a.line, b.line, turn), card.crossedGapMm)
}

/** How far around the journal a chain reaches, its gaps included, degrees; 360 where it closes on itself. */
function chainExtentDeg(chain: readonly GroupMember[]): number {
  const spans = chain.map(({ vertices }) => {
    const thetas = vertices.map((v) => v.theta)
    return { from: Math.min(...thetas), length: Math.max(...thetas) - Math.min(...thetas) }
  })
  if (spans.some((span) => span.length >= 2 * Math.PI)) return (Math.max(...spans.map((s) => s.length)) * 180) / Math.PI
  const wrap = (angle: number) => angle - 2 * Math.PI * Math.floor(angle / (2 * Math.PI))
  const sorted = spans.map((span) => ({ from: wrap(span.from), length: span.length })).sort((a, b) => a.from - b.from)
  let largestGap = 0
  let reach = sorted[0].from + sorted[0].length
  for (const span of [...sorted.slice(1), ...sorted.map((s) => ({ from: s.from + 2 * Math.PI, length: s.length }))]) {
    largestGap = Math.max(largestGap, span.from - reach)
    reach = Math.max(reach, span.from + span.length)
  }
  return 360 - (largestGap * 180) / Math.PI
}

function meanAngle(members: readonly GroupMember[]): number {
  let c = 0
  let s = 0
  for (const { angle } of members) {
    c += Math.cos(2 * angle)
    s += Math.sin(2 * angle)
  }
  return halfAngle(c, s)
}

function components(members: readonly GroupMember[], joined: (a: GroupMember, b: GroupMember) => boolean): GroupMember[][] {
  const parent = members.map((_, i) => i)
  const root = (i: number): number => (parent[i] === i ? i : root(parent[i]))
  for (let i = 0; i < members.length; i++)
    for (let j = i + 1; j < members.length; j++) if (root(i) !== root(j) && joined(members[i], members[j])) parent[root(j)] = root(i)
  const sets = new Map<number, GroupMember[]>()
  members.forEach((member, i) => {
    const set = sets.get(root(i)) ?? []
    set.push(member)
    sets.set(root(i), set)
  })
  return [...sets.values()].filter((set) => set.length > 1)
}
