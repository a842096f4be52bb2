/** How a shaft and its journals are called on the screen. */

/** What stands on the tag: "W.O. 2217 · Petrel, four-cylinder diesel". */
export function tagText(shaft: { id: string; label: string }): string {
  const name = shaftName(shaft)
  return name === '' ? `W.O. ${shaft.id}` : `W.O. ${shaft.id} · ${name}`
}

/** The label without a work order in front, which the tag shows already. */
export function shaftName(shaft: { id: string; label: string }): string {
  return shaft.label.replace(/^W\.O\.\s*\S+\s*[·:,-]\s*/, '')
}

/** "Pin 3", "Main 1": the trade's word for a journal whose name is P3 or M1; any other name stands as it is. */
export function journalWord(journal: { id: string; kind: 'pin' | 'main' }): string {
  const short = /^([PM])\s*(\d+.*)$/i.exec(journal.id)
  const kind = journal.kind === 'pin' ? 'Pin' : 'Main'
  if (short && (short[1]?.toUpperCase() === 'P') === (journal.kind === 'pin')) return `${kind} ${short[2]}`
  return journal.id
}

/** The same within a sentence: "pin 3"; a name of a person's own keeps its letters. */
export function journalWordWithin(journal: { id: string; kind: 'pin' | 'main' }): string {
  const word = journalWord(journal)
  return word === journal.id ? word : word.toLowerCase()
}
