#!/usr/bin/env node
/**
 * Compiles lib/rollout/warp-*.as to WebAssembly and writes it, as base64, into lib/rollout/warp-kernel-wasm.ts, from where a page, a worker, Node and the
 * tests load it alike. A test compiles it again and compares, so the two cannot drift apart.
 */
import { readFileSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import asc from 'assemblyscript/asc'

/** What stands in these is exported; they import from the others. */
const entries = ['warp-kernel', 'warp-alone', 'warp-pictures']
const sourceOf = (name) => fileURLToPath(new URL(`../rollout/${name.replace(/\.ts$/, '.as')}`, import.meta.url))
const target = fileURLToPath(new URL('../rollout/warp-kernel-wasm.ts', import.meta.url))

/** @returns {Promise<Uint8Array>} the module's bytes. Throws with the compiler's words. */
export async function compileKernel() {
  const options = [
    '--outFile',
    'kernel.wasm',
    '--runtime',
    'stub',
    '--enable',
    'simd',
    '-O3',
    '--noAssert',
    '--importMemory',
    '--use',
    'abort=',
  ]
  let bytes = null
  const { error, stderr } = await asc.main([...entries.map((name) => `${name}.ts`), ...options], {
    readFile: (name) => (/^warp-[a-z]+\.ts$/.test(name) ? readFileSync(sourceOf(name), 'utf8') : null),
    writeFile: (name, contents) => {
      if (name === 'kernel.wasm') bytes = contents
    },
    listFiles: () => [],
  })
  if (error || !bytes) throw new Error(`${error?.message}\n${stderr.toString()}`)
  return bytes
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const text = Buffer.from(await compileKernel()).toString('base64')
  const lines = text.match(/.{1,120}/g).map((line) => `  '${line}',`)
  writeFileSync(
    target,
    `/** Made by lib/cli/compile-kernel.mjs from the warp-*.as beside it: the rollout's inner loops as WebAssembly with SIMD, base64. */\nexport const warpKernelWasm = [\n${lines.join('\n')}\n].join('')\n`,
  )
  console.log(`${target}: ${Math.round((text.length * 3) / 4)} bytes of WebAssembly`)
}
