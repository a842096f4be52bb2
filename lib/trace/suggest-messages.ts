/** What page and suggesting worker say to each other: the worker asks for one photograph's picture at a time. */
import type { Journal } from '../model/journal'
import type { LineView } from './line-view'
import type { Candidate } from './suggest'

export type ToSuggester =
  | { say: 'begin'; journal: Journal; views: LineView[] }
  /** null: the picture is not here. */
  | { say: 'picture'; view: number; bitmap: ImageBitmap | null }
export type FromSuggester =
  | { say: 'want'; view: number }
  | { say: 'progress'; done: number; of: number }
  | { say: 'found'; candidates: Candidate[] }
  | { say: 'failed'; message: string }
