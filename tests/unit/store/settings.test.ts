/** Settings: what an owner may set, and the one sentence that each slip gets. */
import { describe, expect, it } from 'vitest'
import { AppError } from '../../../lib/model/app-error'
import { readSettings } from '../../../lib/store/settings'

const refusal = (environment: Record<string, string>) => {
  try {
    readSettings(environment, '/srv')
  } catch (error) {
    if (error instanceof AppError) return error
  }
  throw new Error('was not refused')
}

describe('settings', () => {
  it('need nothing set', () => {
    expect(readSettings({}, '/srv')).toEqual({ port: 4870, host: '127.0.0.1', dataFolder: '/srv/data', demo: true })
  })

  it('take port, host, data folder and demo; an empty variable counts as not set', () => {
    const given = { THROWMARK_PORT: '8080', THROWMARK_HOST: 'localhost', THROWMARK_DATA: '/var/shop', THROWMARK_DEMO: 'off' }
    expect(readSettings(given, '/srv')).toEqual({ port: 8080, host: 'localhost', dataFolder: '/var/shop', demo: false })
    expect(readSettings({ THROWMARK_PORT: ' ', THROWMARK_DATA: '' }, '/srv')).toMatchObject({ port: 4870, dataFolder: '/srv/data' })
  })

  it('count a relative data folder from the project', () => {
    expect(readSettings({ THROWMARK_DATA: 'kept/here' }, '/srv').dataFolder).toBe('/srv/kept/here')
  })

  it.each(['0.0.0.0', '192.168.1.20', 'bench.example', '::'])('refuse the host %s until there are accounts, and say so', (host) => {
    const { code, path, message } = refusal({ THROWMARK_HOST: host })
    expect(code).toBe('bad-input')
    expect(path).toBe('THROWMARK_HOST')
    expect(message).toContain('until there are accounts')
    expect(message).toContain('127.0.0.1')
  })

  it.each(['0', '65536', '80.5', 'http', '-1'])('refuse the port %s', (port) => {
    expect(refusal({ THROWMARK_PORT: port }).message).toMatch(/^THROWMARK_PORT: .*1 to 65535$/)
  })

  it('name every slip at once, one line each', () => {
    const { message, faults } = refusal({ THROWMARK_PORT: 'x', THROWMARK_DEMO: 'maybe', THROWMARK_HOST: '0.0.0.0' })
    expect(faults.map((fault) => fault.path).sort()).toEqual(['THROWMARK_DEMO', 'THROWMARK_HOST', 'THROWMARK_PORT'])
    expect(message.split('\n')).toHaveLength(3)
  })
})
