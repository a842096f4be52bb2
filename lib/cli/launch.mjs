#!/usr/bin/env -S node --max-semi-space-size=4
/**
 * The command line: bundles lib/cli/main.ts when it changed and runs it in this process. Pictures pass through quickly, so a small young generation
 * (here and in `npm run throwmark`) keeps 70 MB less of what is done with, and costs no time.
 */
import { importBundled } from './bundle.mjs'

const { main } = await importBundled('lib/cli/main.ts')
await main(process.argv.slice(2))
