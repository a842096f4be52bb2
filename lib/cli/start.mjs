/** `npm start`: makes what must be made, brings the data folder up to date, serves. With --dev pages are made anew as files change. */
import { importBundled, top } from './bundle.mjs'
import { buildPages, makeDatabaseClient } from './made-ready.mjs'

const dev = process.argv.includes('--dev')
process.chdir(top)
process.env.NEXT_TELEMETRY_DISABLED = '1'
process.env.NODE_ENV = dev ? 'development' : 'production'

const { takePlace } = await importBundled('lib/cli/start-place.ts')
const place = await takePlace(process.env, top)
try {
  await makeDatabaseClient()
  if (!dev) await buildPages(console.log)
  const { serve } = await importBundled('lib/cli/serve.ts')
  await serve(place, { dev, top })
} catch (error) {
  await place.release()
  console.error(error instanceof Error && error.name === 'AppError' ? error.message : error)
  process.exit(1)
}
