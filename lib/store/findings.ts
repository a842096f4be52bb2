/** Findings of a kept shaft, computed on reading by the same modules as everywhere. */
import { assess } from '../finding/assess'
import type { Findings } from '../model/findings'
import type { ShaftDocument } from '../model/rows'
import { inspectionOf, lensByPhoto } from './document'

export function findingsOf(document: ShaftDocument): Findings {
  return assess(inspectionOf(document), lensByPhoto(document))
}
