import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'

const here = fileURLToPath(new URL('.', import.meta.url))
const resolve = { alias: { '@': here } }
const project = (name: string, more: Record<string, unknown> = {}) => ({
  resolve,
  test: { name, environment: 'node', include: [`tests/${name}/**/*.test.{ts,tsx}`], testTimeout: 20_000, ...more },
})

/** Tests that start the built program share one build and run one file after the other. */
const onProgram = { globalSetup: ['tests/browser/built-program.ts'], fileParallelism: false, hookTimeout: 120_000 }

export default defineConfig({
  test: {
    projects: [
      project('unit'),
      project('published', { testTimeout: 60_000 }),
      project('faults', { ...onProgram, testTimeout: 60_000 }),
      project('browser', { ...onProgram, testTimeout: 120_000 }),
    ],
  },
})
