/**
 * `npm test`: every test, those in a browser included. Makes what must be made, runs vitest, and ends with one plain line,
 * `N passed, N failed`. What follows `--` goes to vitest, such as `npm test -- --project unit`.
 */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { makeDatabaseClient } from './made-ready.mjs'
import { runTool } from './run-steps.mjs'

await makeDatabaseClient()
const folder = mkdtempSync(path.join(tmpdir(), 'throwmark-test-'))
const report = path.join(folder, 'report.json')
const args = ['run', '--reporter=default', '--reporter=json', `--outputFile.json=${report}`, ...process.argv.slice(2)]
const code = await runTool('vitest/vitest.mjs', args)
const { passed, failed } = countsOf(report)
rmSync(folder, { recursive: true, force: true })
console.log(`${passed} passed, ${failed} failed`)
process.exit(code === 0 && failed === 0 ? 0 : 1)

/** A file that could not even be loaded counts as one failure, and so does a run that left no report. */
function countsOf(file) {
  try {
    const { numPassedTests, numFailedTests, testResults } = JSON.parse(readFileSync(file, 'utf8'))
    const unloaded = testResults.filter((one) => one.status === 'failed' && one.assertionResults.every((test) => test.status !== 'failed'))
    return { passed: numPassedTests, failed: numFailedTests + unloaded.length }
  } catch {
    return { passed: 0, failed: 1 }
  }
}
