/** Only this machine may ask, and only its own pages may write. */
import { describe, expect, it } from 'vitest'
import { refuseStrangers } from '../../../lib/http/request-guard'

const asked = (method: string, headers: Record<string, string>) => () =>
  refuseStrangers({ method, headers: { get: (name) => headers[name] ?? null } })

describe('a request', () => {
  it.each(['localhost', 'localhost:4870', '127.0.0.1:80', '[::1]:4870'])('under the name %s is let in', (host) => {
    expect(asked('GET', { host })).not.toThrow()
    expect(asked('POST', { host })).not.toThrow()
  })

  it.each(['', 'evil.example', 'evil.example:4870', '127.0.0.1.evil.example', 'localhost.evil.example:4870', '192.168.1.5:4870'])(
    'under the name "%s" is refused, even to read',
    (host) => {
      expect(asked('GET', { host })).toThrow(/names localhost/)
    },
  )

  it.each([
    ['another site', { origin: 'http://evil.example' }],
    ['another port of this machine', { origin: 'http://localhost:9999' }],
    ['a sandboxed page', { origin: 'null' }],
    ['another site, as the browser tells', { 'sec-fetch-site': 'cross-site' }],
    ['a sister site, as the browser tells', { 'sec-fetch-site': 'same-site' }],
  ])('to write from %s is refused', (_who, headers) => {
    expect(asked('POST', { host: 'localhost:4870', ...headers })).toThrow(/another site may not write/)
    expect(asked('GET', { host: 'localhost:4870', ...headers })).not.toThrow()
  })

  it('to write from its own page is let in', () => {
    expect(asked('PUT', { host: 'localhost:4870', origin: 'http://localhost:4870', 'sec-fetch-site': 'same-origin' })).not.toThrow()
  })
})
