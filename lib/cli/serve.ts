/** Brings the data folder up to date and serves on loopback until a signal comes. */
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http'
import path from 'node:path'
import next from 'next'
import { problemOf } from '../http/problem'
import { refuseStrangers } from '../http/request-guard'
import { AppError } from '../model/app-error'
import { closeDatabase, databaseFile } from '../store/database'
import { seedIfNew } from '../store/demo'
import { migrate } from '../store/migrations'
import type { Place } from './start-place'

const patienceMs = 3000

/** @throws AppError conflict when the port is taken, or the database is of a newer version */
export async function serve({ settings, release }: Place, { dev, top }: { dev: boolean; top: string }): Promise<void> {
  const { host, port, dataFolder, demo } = settings
  await seedIfNew({ dataFolder, demo, demoFolder: path.join(top, 'prisma', 'demo'), tell: console.log }, () =>
    migrate(databaseFile(dataFolder), path.join(top, 'prisma', 'migrations')),
  )
  const pages = next({ dev, dir: top, hostname: host, port })
  await pages.prepare()
  const answer = pages.getRequestHandler()
  const server = createServer((request, response) => {
    if (admitted(request, response)) void answer(request, response)
  })
  if (dev) server.on('upgrade', pages.getUpgradeHandler())
  await listening(server, host, port)
  console.log(`Throwmark is ready at http://${host === '::1' ? '[::1]' : host}:${port}/`)
  console.log(`Your work lies in ${dataFolder}`)
  console.log('Ctrl-C stops it.')
  await signal()
  await closed(server)
  await pages.close()
  await closeDatabase()
  await release()
  process.exit(0)
}

/** Pages hold what the API holds, so the same guard stands before both. */
function admitted(request: IncomingMessage, response: ServerResponse): boolean {
  try {
    const { headers } = request
    refuseStrangers({ method: request.method ?? 'GET', headers: { get: (name) => headers[name]?.toString() ?? null } })
    return true
  } catch (error) {
    if (!(error instanceof AppError)) throw error
    const problem = problemOf(error)
    response.writeHead(problem.status, { 'content-type': 'application/problem+json', connection: 'close' }).end(JSON.stringify(problem))
    return false
  }
}

function listening(server: Server, host: string, port: number): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once('error', (error: NodeJS.ErrnoException) => {
      const taken = `Port ${port} is taken by another program; stop that, or set THROWMARK_PORT to a free one.`
      const refused = `Port ${port} cannot be used (${error.code}); set THROWMARK_PORT to another one.`
      reject(new AppError('conflict', error.code === 'EADDRINUSE' ? taken : refused))
    })
    server.listen(port, host, resolve)
  })
}

function signal(): Promise<unknown> {
  return new Promise((resolve) => {
    process.once('SIGINT', resolve).once('SIGTERM', resolve)
  })
}

/** Lets answers under way end, then ends what still holds on. */
function closed(server: Server): Promise<void> {
  return new Promise((resolve) => {
    const impatience = setTimeout(() => server.closeAllConnections(), patienceMs)
    server.close(() => {
      clearTimeout(impatience)
      resolve()
    })
    server.closeIdleConnections()
  })
}
