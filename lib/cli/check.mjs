/** `npm run check`: format, lint without warnings, types, import directions, unit tests. Everything runs; one failure fails it. */
import { makeDatabaseClient } from './made-ready.mjs'
import { runTool } from './run-steps.mjs'

const steps = [
  ['format and lint', '@biomejs/biome/bin/biome', ['check', '--error-on-warnings', '.']],
  ['types', 'typescript/bin/tsc', ['--noEmit', '-p', '.']],
  ['import directions and unit tests', 'vitest/vitest.mjs', ['run', '--project', 'unit']],
]

await makeDatabaseClient()
const failed = []
for (const [name, program, args] of steps) if ((await runTool(program, args)) !== 0) failed.push(name)
console.log(failed.length === 0 ? 'check: all well' : `check: failed at ${failed.join('; ')}`)
process.exit(failed.length === 0 ? 0 : 1)
