/** A refused request: thrown by whoever refuses, mapped to a status by the one route wrapper, to exit 2 by the command line. */
import { faultLine, type Fault } from './fault'

export type AppErrorCode =
  | 'bad-input'
  | 'forbidden'
  | 'not-found'
  | 'conflict'
  | 'stale'
  | 'precondition-required'
  | 'too-large'
  | 'unsupported-picture'
  | 'not-built-yet'

export class AppError extends Error {
  readonly code: AppErrorCode
  /** JSONPath of the value at fault, where there is one. */
  readonly path: string | undefined
  readonly faults: readonly Fault[]
  /** For `stale`: the row as it stands now. */
  readonly current: unknown

  constructor(code: AppErrorCode, message: string, more: { path?: string; faults?: readonly Fault[]; current?: unknown } = {}) {
    super(message)
    this.name = 'AppError'
    this.code = code
    this.path = more.path ?? more.faults?.[0]?.path
    this.faults = more.faults ?? []
    this.current = more.current
  }
}

/** The error for input with faults: its message holds one line a fault. */
export function badInput(faults: readonly Fault[]): AppError {
  return new AppError('bad-input', faults.map(faultLine).join('\n'), { faults })
}
