/** Rendered strips without pictures: the codes' true corners with noise, as another program would hand them in. */
import { readInspection } from '../../../lib/journal/read-inspection'
import type { InspectionMm } from '../../../lib/model/inspection'
import { noiseFrom } from '../../fixtures/render/noise'
import { stripJournal, type StripSetOptions } from '../../fixtures/render/strip-set'

export type StripCase = { inspection: InspectionMm; truth: ReturnType<typeof stripJournal>['truth']; set: ReturnType<typeof stripJournal> }

type Change = (file: { journals: Record<string, unknown>[]; photos: { handles: Record<string, unknown> }[] }) => void

/** The file of a journal with its codes given, each corner off by `cornerPx`; `change` alters it before it is read. */
export function stripCase(seed: number, options: Partial<StripSetOptions> = {}, cornerPx = 0.1, change: Change = () => {}): StripCase {
  const set = stripJournal(seed, options)
  const noise = noiseFrom(seed + 1)
  const off = () => cornerPx * noise.normal()
  const photos = set.photos.map((photo) => {
    const markers = set.truth.photos[photo.id].markers.map(({ id, printed }) => ({
      id,
      corners: printed.map((corner) => [(corner?.[0] ?? 0) + off(), (corner?.[1] ?? 0) + off()]),
    }))
    return { ...photo, handles: { ...photo.handles, strip: { markers } } }
  })
  const file = {
    format: 'throwmark/inspection@1',
    units: 'mm',
    shaft: { id: 'S1' },
    journals: [structuredClone(set.journal)],
    photos: structuredClone(photos),
    marks: set.marks,
  }
  change(file as unknown as Parameters<Change>[0])
  const read = readInspection(JSON.parse(JSON.stringify(file)))
  if (!read.ok) throw new Error(JSON.stringify(read.reason))
  return { inspection: read.value, truth: set.truth, set }
}
