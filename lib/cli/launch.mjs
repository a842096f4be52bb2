#!/usr/bin/env node
/** The command line: bundles lib/cli/main.ts when it changed and runs it in this process. */
import { importBundled } from './bundle.mjs'

const { main } = await importBundled('lib/cli/main.ts')
await main(process.argv.slice(2))
