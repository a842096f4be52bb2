import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'

const here = fileURLToPath(new URL('.', import.meta.url))
const resolve = { alias: { '@': here } }
/** One kind of test after the other: what is timed in a browser is not to share the machine with the rest. */
const project = (name: string, groupOrder: number, more: Record<string, unknown> = {}) => ({
  resolve,
  test: {
    name,
    environment: 'node',
    include: [`tests/${name}/**/*.test.{ts,tsx}`],
    testTimeout: 20_000,
    expect: { poll: { timeout: 15_000 } },
    setupFiles: ['tests/property-seed.ts'],
    sequence: { groupOrder },
    ...more,
  },
})

/** Tests that start the built program share one build and run one file after the other. */
const onProgram = { globalSetup: ['tests/browser/built-program.ts'], fileParallelism: false, hookTimeout: 120_000 }

export default defineConfig({
  test: {
    projects: [
      project('unit', 0),
      project('published', 1, { testTimeout: 60_000 }),
      project('faults', 2, { ...onProgram, testTimeout: 60_000 }),
      // a busy machine may lose a single touch or frame: one more try, and a test that needs it is named in the report
      project('browser', 3, { ...onProgram, testTimeout: 120_000, retry: 1 }),
    ],
  },
})
