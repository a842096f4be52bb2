/** Bad input as data: where it stands, what is wrong, what to do about it. */
export type Fault = {
  /** JSONPath (RFC 9535) of the value, such as `$.journals[0].width`. */
  path: string
  fault: string
  remedy: string
}

/** One line a fault, as the command line and the problem documents print it. */
export function faultLine(fault: Fault): string {
  return `${fault.path}: ${fault.fault}; ${fault.remedy}`
}

/** Writes a key path as JSONPath (RFC 9535): names after a dot, indices in brackets. */
export function jsonPath(keys: readonly PropertyKey[]): string {
  return keys.reduce<string>((path, key) => {
    if (typeof key === 'number') return `${path}[${key}]`
    const name = String(key)
    return /^[A-Za-z_][A-Za-z0-9_]*$/.test(name) ? `${path}.${name}` : `${path}[${JSON.stringify(name)}]`
  }, '$')
}
