/** Runs the project's own tools one after the other, as `npm run check` and `npm test` do. */
import { spawn } from 'node:child_process'
import path from 'node:path'
import { top } from './bundle.mjs'

/**
 * Runs a program of node_modules to its end, its output passed on.
 * @param {string} program such as `vitest/vitest.mjs`
 * @param {string[]} args
 * @returns {Promise<number>} its exit code
 */
export function runTool(program, args) {
  const script = path.join(top, 'node_modules', program)
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [script, ...args], { cwd: top, stdio: ['ignore', 'inherit', 'inherit'] })
    child.on('error', reject)
    child.on('close', (code) => resolve(code ?? 1))
  })
}
