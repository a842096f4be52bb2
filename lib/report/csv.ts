/** Tables as CSV (RFC 4180) that a spreadsheet opens as text and numbers, never as formulas. */

export type Cell = string | number | boolean | null | undefined

/** @param header column names @param rows one list of cells a line; null and undefined are empty */
export function csvOf(header: readonly string[], rows: readonly (readonly Cell[])[]): string {
  return [header, ...rows].map((row) => `${row.map(field).join(',')}\r\n`).join('')
}

function field(cell: Cell): string {
  if (cell === null || cell === undefined) return ''
  if (typeof cell !== 'string') return String(cell)
  const text = /^[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text
}
