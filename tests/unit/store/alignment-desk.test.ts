/** What came to nothing is not held against a journal for ever. */
import { describe, expect, it } from 'vitest'
import { settle, settledState } from '../../../lib/store/alignment-desk'

describe('a settled alignment', () => {
  it('that failed may begin again after its time, with nothing changed', () => {
    const now = 1_000_000
    settle('row', { key: 'k', state: 'failed', detail: 'the disk was full', until: now + 60_000 })
    expect(settledState('row', 'k', now + 59_999)?.state).toBe('failed')
    expect(settledState('row', 'k', now + 60_000)).toBeNull()
  })

  it('that is not needed stays so while its key stays', () => {
    settle('row', { key: 'k', state: 'not-needed' })
    expect(settledState('row', 'k', Number.MAX_SAFE_INTEGER)?.state).toBe('not-needed')
    expect(settledState('row', 'other')).toBeNull()
  })
})
