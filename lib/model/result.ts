/** An operation that can fail in an expected way: the value, or a reason that carries its facts. */
export type Result<Value, Reason> = { ok: true; value: Value } | { ok: false; reason: Reason }

export function done<Value>(value: Value): { ok: true; value: Value } {
  return { ok: true, value }
}

export function failed<Reason>(reason: Reason): { ok: false; reason: Reason } {
  return { ok: false, reason }
}

/** Ends a switch over a union: the compiler refuses a case that was forgotten. */
export function unreachable(value: never): never {
  throw new Error(`unreachable: ${JSON.stringify(value)}`)
}
