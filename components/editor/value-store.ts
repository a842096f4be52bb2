/** A value that changes with every move of the pointer, for those who ask for it alone: the rest of the page is not drawn again. */
export type ValueStore<Value> = { get: () => Value; set: (value: Value) => void; subscribe: (listener: () => void) => () => void }

export function valueStore<Value>(first: Value): ValueStore<Value> {
  let value = first
  const listeners = new Set<() => void>()
  return {
    get: () => value,
    set: (next) => {
      if (Object.is(next, value)) return
      value = next
      for (const listener of listeners) listener()
    },
    subscribe: (listener) => {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
  }
}
