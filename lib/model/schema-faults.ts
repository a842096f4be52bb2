/** zod's issues as faults in our own words: place, fault, remedy. */
import type { z } from 'zod'
import { type Fault, jsonPath } from './fault'

export function schemaFaults(error: z.ZodError): Fault[] {
  return error.issues.flatMap((issue) => issueFaults(issue, []))
}

type Issue = z.core.$ZodIssue

function issueFaults(issue: Issue, before: PropertyKey[]): Fault[] {
  const path = [...before, ...issue.path]
  const at = jsonPath(path)
  switch (issue.code) {
    case 'unrecognized_keys':
      return issue.keys.map((key) => ({
        path: jsonPath([...path, key]),
        fault: 'unknown key',
        remedy: 'take it out, or mend its spelling',
      }))
    case 'invalid_type':
      if (issue.input === undefined) return [{ path: at, fault: 'missing', remedy: `add it (${issue.expected})` }]
      return [{ path: at, fault: `${shown(issue.input)} is not ${article(issue.expected)}`, remedy: `give ${article(issue.expected)}` }]
    case 'invalid_value':
      if (issue.input === undefined) return [{ path: at, fault: 'missing', remedy: `give one of ${issue.values.map(shown).join(', ')}` }]
      return [
        {
          path: at,
          fault: `${shown(issue.input)} is not allowed here`,
          remedy: `give ${issue.values.length > 1 ? 'one of ' : ''}${issue.values.map(shown).join(', ')}`,
        },
      ]
    case 'too_small':
      return [
        {
          path: at,
          fault: `${shown(issue.input)} is too small`,
          remedy: `give ${issue.inclusive ? 'at least' : 'more than'} ${issue.minimum}`,
        },
      ]
    case 'too_big':
      return [{ path: at, fault: `${shown(issue.input)} is too large`, remedy: `give at most ${issue.maximum}` }]
    case 'invalid_union':
      return unionFaults(issue, path)
    default:
      return [{ path: at, fault: issue.message, remedy: 'mend this value' }]
  }
}

/** Of a union that no branch fits, the branch that came furthest speaks. */
function unionFaults(issue: Extract<Issue, { code: 'invalid_union' }>, path: PropertyKey[]): Fault[] {
  if (issue.errors.length === 0) {
    return [{ path: jsonPath(path), fault: `${shown(issue.input)} is none of the forms allowed here`, remedy: 'see the file format' }]
  }
  const depth = (issues: Issue[]) =>
    Math.max(...issues.map((i) => i.path.length + (i.code === 'invalid_type' || i.code === 'invalid_value' ? 0 : 0.5)))
  const nearest = [...issue.errors].sort((a, b) => a.length - b.length || depth(b) - depth(a))[0]
  return nearest.flatMap((inner) => issueFaults(inner, path))
}

function shown(value: unknown): string {
  if (typeof value === 'number' && !Number.isFinite(value)) return 'a number that is not finite'
  const text =
    typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean' || value === null
      ? JSON.stringify(value)
      : Array.isArray(value)
        ? 'a list'
        : typeof value === 'object'
          ? 'an object'
          : String(value)
  return text.length > 60 ? `${text.slice(0, 57)}…` : text
}

function article(expected: string): string {
  const names: Record<string, string> = {
    number: 'a finite number',
    int: 'a whole number',
    string: 'a text',
    array: 'a list',
    tuple: 'a list of fixed length',
    object: 'an object',
    boolean: 'true or false',
  }
  return names[expected] ?? expected
}
