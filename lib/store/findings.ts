/** Findings of a kept shaft, computed on reading by the same modules as everywhere. */
import { assess } from '../finding/assess'
import type { Findings } from '../model/findings'
import type { ShaftDocument } from '../model/rows'
import { alignedFits } from './alignments'
import { inspectionOf, lensByPhoto } from './document'

/** Photographs that wait for an alignment count as what they tell by themselves. */
export async function findingsOf(document: ShaftDocument): Promise<Findings> {
  return assess(inspectionOf(document), lensByPhoto(document), await alignedFits(document))
}
