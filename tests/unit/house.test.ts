/** The house: pure folders stay pure, and imports point backwards along the way from photograph to finding. */
import { readdirSync, readFileSync, statSync } from 'node:fs'
import path from 'node:path'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'

const top = fileURLToPath(new URL('../../', import.meta.url))

/** Which folders of lib each folder may import besides itself. */
const mayImport: Record<string, readonly string[]> = {
  model: [],
  journal: ['model'],
  photo: ['model', 'journal'],
  rollout: ['model', 'journal', 'photo'],
  trace: ['model', 'journal', 'photo', 'rollout'],
  finding: ['model', 'journal', 'photo'],
  cut: ['model', 'journal', 'finding'],
  stress: ['model', 'journal'],
  report: ['model', 'journal', 'photo', 'rollout', 'finding', 'cut', 'stress'],
  store: ['model', 'journal', 'photo', 'rollout', 'finding', 'cut', 'report'],
  access: ['model', 'store'],
  http: ['model', 'journal', 'photo', 'rollout', 'finding', 'cut', 'report', 'store', 'access'],
  cli: ['model', 'journal', 'photo', 'rollout', 'trace', 'finding', 'cut', 'stress', 'report', 'store', 'access', 'http'],
}
const pureFolders = ['model', 'journal', 'photo', 'rollout', 'trace', 'finding', 'cut', 'stress']
const forComponents = [...pureFolders, 'report']
const purePackages = new Set(['zod', 'fft.js', 'js-aruco2'])
const impure: readonly [RegExp, string][] = [
  [/\bDate\b/, 'Date'],
  [/\bMath\.random\b/, 'Math.random'],
  [/\bprocess\b/, 'process'],
  [/\bfetch\s*\(/, 'fetch'],
  [/\brequire\s*\(/, 'require'],
  [/\b(?:local|session)Storage\b/, 'storage'],
  [/\bconsole\b/, 'console'],
]

describe('the house', () => {
  const files = [...sources('lib'), ...sources('components'), ...sources('app')]

  it('finds the files it is to look after', () => {
    expect(files.length).toBeGreaterThan(10)
  })

  it('keeps pure folders free of time, chance, input and output', () => {
    expect(files.flatMap((file) => impurities(file, readFileSync(path.join(top, file), 'utf8')))).toEqual([])
  })

  it('keeps imports pointing backwards', () => {
    expect(files.flatMap((file) => wrongImports(file, readFileSync(path.join(top, file), 'utf8')))).toEqual([])
  })

  it('has no file longer than 350 lines', () => {
    const long = files.filter((file) => readFileSync(path.join(top, file), 'utf8').split('\n').length > 351)
    expect(long).toEqual([])
  })
})

describe('the watch over the house', () => {
  it('sees a clock, a die and a forward import', () => {
    expect(impurities('lib/photo/a.ts', 'export const t = Date.now()')).toEqual(['lib/photo/a.ts uses Date'])
    expect(impurities('lib/photo/a.ts', '/** Date of the picture */\nexport const t = Math.random()')).toEqual([
      'lib/photo/a.ts uses Math.random',
    ])
    expect(impurities('lib/store/a.ts', 'export const t = Date.now()')).toEqual([])
    expect(wrongImports('lib/journal/a.ts', "import { fitPhoto } from '../photo/cylinder-fit'")).toHaveLength(1)
    expect(wrongImports('lib/journal/a.ts', "import fs from 'node:fs'")).toHaveLength(1)
    expect(wrongImports('lib/journal/a.ts', "const m = await import('../store/shafts')")).toHaveLength(1)
    expect(wrongImports('lib/finding/a.ts', "export { project } from '../photo/camera'")).toEqual([])
    expect(wrongImports('components/map/a.tsx', "import { shafts } from '@/lib/store/shafts'")).toHaveLength(1)
    expect(wrongImports('components/map/a.tsx', "import { shafts } from '../../lib/model/journal'")).toHaveLength(1)
    expect(wrongImports('lib/store/a.ts', "import { problem } from '../http/problem'")).toHaveLength(1)
  })
})

function sources(folder: string): string[] {
  const found: string[] = []
  for (const name of readdirSync(path.join(top, folder))) {
    const file = `${folder}/${name}`
    if (file === 'lib/store/generated') continue
    if (statSync(path.join(top, file)).isDirectory()) found.push(...sources(file))
    else if (/\.(ts|tsx|mjs)$/.test(name)) found.push(file)
  }
  return found
}

function impurities(file: string, text: string): string[] {
  if (!pureFolders.some((folder) => file.startsWith(`lib/${folder}/`))) return []
  const code = withoutComments(text)
  return impure.filter(([pattern]) => pattern.test(code)).map(([, name]) => `${file} uses ${name}`)
}

function wrongImports(file: string, text: string): string[] {
  return importsOf(text)
    .filter((wanted) => !allowed(file, wanted))
    .map((wanted) => `${file} imports ${wanted}`)
}

function allowed(file: string, wanted: string): boolean {
  const [house, folder] = file.split('/') as [string, string]
  const ours = wanted.startsWith('@/') ? wanted.slice(2) : wanted.startsWith('.') ? path.posix.join(path.posix.dirname(file), wanted) : null
  if (house === 'lib') {
    if (wanted.startsWith('@/')) return false
    if (ours === null) return !pureFolders.includes(folder) || purePackages.has(wanted)
    const [toHouse, toFolder] = ours.split('/') as [string, string]
    return toHouse === 'lib' && (toFolder === folder || (mayImport[folder] ?? []).includes(toFolder))
  }
  if (ours === null) return house === 'app' || !wanted.startsWith('node:')
  if (wanted.startsWith('.') && !ours.startsWith(`${house}/`)) return false
  if (house === 'app' || !ours.startsWith('lib/')) return house === 'app' || ours.startsWith('components/')
  return forComponents.includes(ours.split('/')[1] as string)
}

function importsOf(text: string): string[] {
  const found = withoutComments(text).matchAll(/(?:\bfrom\s*|\bimport\s*\(?\s*)(['"])([^'"\n]+)\1/g)
  return [...found].map((match) => match[2] as string)
}

function withoutComments(text: string): string {
  return text.replace(/\/\*[\s\S]*?\*\//g, '').replace(/(^|[^:])\/\/.*$/gm, '$1')
}
