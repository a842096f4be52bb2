'use client'
/**
 * Handles that the program found in a photograph without any: looked for in a worker once, drawn as a proposal, the person's to accept, to mend or to
 * reject. They live in the page alone: nothing is stored before it is accepted.
 */
import { useEffect, useState } from 'react'
import type { HandleRef } from '@/components/editor/tools/handles'
import { removeHandle } from '@/components/editor/tools/handles'
import type { Journal } from '@/lib/model/journal'
import type { Handles, Photo } from '@/lib/model/photo'
import type { LensData } from '@/lib/photo/lens-priors'
import type { Proposal } from '@/lib/photo/propose'
import { proposeInWorker } from '@/lib/photo/propose-client'
import type { ProposeOrder } from '@/lib/photo/propose-worker'
import { loadBitmap, previewPath } from './photo-picture'

export type ProposalState =
  | { kind: 'none' }
  | { kind: 'looking' }
  /** Nothing that could be the journal was found. */
  | { kind: 'not-found' }
  | { kind: 'found'; proposal: Proposal }

export type ProposalInHand = {
  state: ProposalState
  /** Rejected, or accepted: the photograph is not looked at again while the page is open. */
  putAway: () => void
  /** Takes one point out: the person has taken hold of it. */
  takeOut: (handle: HandleRef) => void
  /** Front and rear exchanged. */
  turnEnds: () => void
}

/** What was found or put away, by photograph, journal and sizes: a step back to the bench does not ask again. */
const kept = new Map<string, ProposalState>()

/** @param sha256 of the original; empty: none is kept, and nothing is looked for */
export function useProposal(photoRow: string, photo: Photo, journal: Journal, lens: LensData | null, sha256: string): ProposalInHand {
  const key = `${photoRow}:${sha256}:${JSON.stringify([journal.diameter, journal.width, journal.fillets])}`
  const [states, setStates] = useState<Readonly<Record<string, ProposalState>>>({})
  const state = states[key] ?? kept.get(key) ?? { kind: 'none' }
  const keep = (next: ProposalState) => {
    kept.set(key, next)
    setStates((before) => ({ ...before, [key]: next }))
  }
  const wanted = sha256 !== '' && handlesIn(photo.handles) === 0 && !kept.has(key)
  // biome-ignore lint/correctness/useExhaustiveDependencies: the photograph is looked at once; what changes of it while the worker runs does not count
  useEffect(() => {
    if (!wanted) return
    const stop = new AbortController()
    const set = (next: ProposalState) => {
      if (!stop.signal.aborted) keep(next)
    }
    setStates((before) => ({ ...before, [key]: { kind: 'looking' } }))
    look(photoRow, { journal, photo, lens }, stop.signal).then(
      (proposal) => set(proposal && handlesIn(proposal.handles) > 0 ? { kind: 'found', proposal } : { kind: 'not-found' }),
      () => set({ kind: 'not-found' }),
    )
    return () => stop.abort()
  }, [wanted, key])
  const change = (to: (proposal: Proposal) => Proposal) => {
    if (state.kind === 'found') keep({ kind: 'found', proposal: to(state.proposal) })
  }
  return {
    state,
    putAway: () => keep({ kind: 'none' }),
    takeOut: (handle) => change((proposal) => ({ ...proposal, handles: removeHandle(proposal.handles, handle) })),
    turnEnds: () => change((proposal) => ({ ...proposal, handles: endsExchanged(proposal.handles) })),
  }
}

export function handlesIn({ sides, rings, oilHoles, clock }: Handles): number {
  return sides.flat().length + rings.flatMap(({ points }) => points).length + oilHoles.length + clock.length
}

/** What the person has, and what was proposed beside it. A side keeps its number; of a hole and of a place the person's pick wins. */
export function withProposed(own: Handles, proposed: Handles): Handles {
  const places = [...new Set([...own.rings, ...proposed.rings].map(({ at }) => at))]
  const pointsOf = ({ rings }: Handles, at: (typeof places)[number]) => rings.find((ring) => ring.at === at)?.points ?? []
  return {
    ...own,
    sides: [
      [...own.sides[0], ...proposed.sides[0]],
      [...own.sides[1], ...proposed.sides[1]],
    ],
    rings: places.map((at) => ({ at, points: [...pointsOf(own, at), ...pointsOf(proposed, at)] })),
    oilHoles: [...own.oilHoles, ...proposed.oilHoles.filter(({ id }) => !own.oilHoles.some((hole) => hole.id === id))],
  }
}

/** An oil hole stands where it was seen: with the ends exchanged it would lie elsewhere along the journal, so it is left to the person. */
function endsExchanged(handles: Handles): Handles {
  const other = { 'front-fillet': 'rear-fillet', 'rear-fillet': 'front-fillet' } as const
  return {
    ...handles,
    rings: handles.rings.map((ring) => (ring.at === 'front-fillet' || ring.at === 'rear-fillet' ? { ...ring, at: other[ring.at] } : ring)),
    oilHoles: [],
  }
}

async function look(photoRow: string, order: Omit<ProposeOrder, 'bitmap'>, signal: AbortSignal): Promise<Proposal | null> {
  return proposeInWorker({ ...order, bitmap: await loadBitmap(previewPath(photoRow, 2400), signal) }, signal)
}
