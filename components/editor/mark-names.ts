/** What marks are called: a letter after the journal's name, `P3-a`, unique within the shaft. */
import type { BenchDocument } from './document'

export function nextMarkName(document: BenchDocument, journalId: string): string {
  const taken = new Set(document.marks.map((row) => row.value.id))
  for (let index = 0; ; index++) {
    const name = `${journalId}-${letters(index)}`
    if (!taken.has(name)) return name
  }
}

/** What stands on the plate beside a mark: the name without its journal. */
export function markLetter(mark: { id: string; journalId: string }): string {
  const prefix = `${mark.journalId}-`
  return mark.id.startsWith(prefix) && mark.id.length > prefix.length ? mark.id.slice(prefix.length) : mark.id
}

/** a…z, aa, ab… */
function letters(index: number): string {
  const last = String.fromCharCode(97 + (index % 26))
  return index < 26 ? last : letters(Math.floor(index / 26) - 1) + last
}
