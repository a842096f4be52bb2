/** A small shaft for tests of the store: a pin and a main, an oil hole, a mark on each. */
import { randomUUID } from 'node:crypto'
import { type Journal, journalSchema } from '../../../lib/model/journal'
import { type Mark, markSchema } from '../../../lib/model/mark'
import { applyEdits } from '../../../lib/store/edits'
import { createShaft } from '../../../lib/store/shafts'

export function pin(more: Partial<Journal> = {}): Journal {
  return journalSchema.parse({
    id: 'P1',
    kind: 'pin',
    diameter: 57.15,
    width: 30,
    fillets: { front: { form: 'tangent', radius: 2.5 }, rear: { form: 'step' } },
    oilHoles: [{ id: 'h1', angleDeg: 60, axial: 15, mouthAround: 8, mouthAlong: 10 }],
    ...more,
  })
}

export function line(more: Partial<Mark> = {}): Mark {
  const points = [
    { angleDeg: 100, axial: 9 },
    { angleDeg: 120.1, axial: 0.1 + 12.2 },
  ]
  return markSchema.parse({ id: 'k1', journalId: 'P1', points, ...more })
}

export type BenchShaft = { shaftId: string; journalId: string; markId: string }

export async function benchShaft(): Promise<BenchShaft> {
  const made = { shaftId: randomUUID(), journalId: randomUUID(), markId: randomUUID() }
  const main = pin({ id: 'M1', kind: 'main', oilHoles: [] })
  const journals = [
    { id: made.journalId, journal: pin() },
    { id: randomUUID(), journal: main },
  ]
  await createShaft({ id: made.shaftId, shaft: { id: 'S1', label: 'on the bench' }, cut: null, journals }, new Date())
  await applyEdits(made.shaftId, [{ op: 'create', kind: 'mark', id: made.markId, value: line() }], new Date())
  return made
}
