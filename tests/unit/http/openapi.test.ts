/** The OpenAPI document lists every route that there is, and only those. */
import { readdirSync } from 'node:fs'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { describe, expect, it } from 'vitest'
import { openApiDocument } from '../../../lib/http/openapi'
import type { Route } from '../../../lib/http/route'

const api = fileURLToPath(new URL('../../../app/api', import.meta.url))
const methods = ['GET', 'POST', 'PUT', 'DELETE', 'PATCH'] as const

type Operation = {
  parameters: { name: string; in: string; required: boolean }[]
  responses: Record<string, unknown>
  requestBody?: unknown
}
const document = openApiDocument() as { openapi: string; paths: Record<string, Record<string, Operation>> }
const listed = Object.entries(document.paths).flatMap(([path, operations]) =>
  Object.keys(operations).map((method) => `${method.toUpperCase()} ${path}`),
)

describe('the OpenAPI document', () => {
  it('lists exactly the routes in app/api, under their own paths', async () => {
    const served: string[] = []
    for (const file of readdirSync(api, { recursive: true, encoding: 'utf8' })) {
      if (!file.endsWith('route.ts') || file.startsWith('[...')) continue
      const handlers = (await import(pathToFileURL(`${api}/${file}`).href)) as Partial<Record<(typeof methods)[number], Route>>
      const path = `/api/${file.replace(/\/route\.ts$/, '').replaceAll(/\[(\w+)\]/g, '{$1}')}`
      for (const method of methods) {
        const { endpoint } = handlers[method] ?? {}
        if (!endpoint) continue
        expect(`${endpoint.method} ${endpoint.path}`).toBe(`${method} ${path}`)
        served.push(`${method} ${path}`)
      }
    }
    expect(served.length).toBeGreaterThan(30)
    expect(listed.sort()).toEqual(served.sort())
  })

  it('is version 3.1, declares every path parameter and asks for the version on every write of a row', () => {
    expect(document.openapi).toMatch(/^3\.1\./)
    for (const [path, operations] of Object.entries(document.paths)) {
      for (const [method, { parameters, responses }] of Object.entries(operations)) {
        const inPath = parameters.filter((parameter) => parameter.in === 'path').map(({ name }) => name)
        expect(inPath).toEqual([...path.matchAll(/\{(\w+)\}/g)].map(([, name]) => name))
        const wantsVersion = parameters.some(({ name, required }) => name === 'If-Match' && required)
        if (method === 'put' || method === 'delete') expect([path, wantsVersion]).toEqual([path, true])
        expect(Object.keys(responses)).toContain('default')
      }
    }
  })

  it('has operation ids of their own', () => {
    const ids = Object.values(document.paths).flatMap((operations) =>
      Object.values(operations).map((one) => (one as unknown as { operationId: string }).operationId),
    )
    expect(new Set(ids).size).toBe(ids.length)
  })
})
