/** Whether two documents hold the same: by structure, the order of keys aside, a key that is undefined the same as one left out. */
export function sameValue(one: unknown, other: unknown): boolean {
  if (Object.is(one, other)) return true
  if (typeof one !== 'object' || typeof other !== 'object' || one === null || other === null) return false
  if (Array.isArray(one) !== Array.isArray(other)) return false
  const first = one as Record<string, unknown>
  const second = other as Record<string, unknown>
  const keys = new Set([...Object.keys(first), ...Object.keys(second)])
  return [...keys].every((key) => sameValue(first[key], second[key]))
}
