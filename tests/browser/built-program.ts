/** Before tests that need the program as a person starts it: the pages are built, where anything they are made of changed. */
import { buildPages, makeDatabaseClient } from '../../lib/cli/made-ready.mjs'

export default async function setup(): Promise<void> {
  await makeDatabaseClient()
  await buildPages(console.log)
}
