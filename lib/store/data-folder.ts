/** The data folder belongs to one running program at a time: a lock file holds its process id. */
import { randomUUID } from 'node:crypto'
import { link, mkdir, readFile, rename, rm, writeFile } from 'node:fs/promises'
import path from 'node:path'
import { AppError } from '../model/app-error'

const lockName = 'throwmark.lock'

/**
 * Makes the folder if need be and locks it.
 * @returns what releases it
 * @throws AppError conflict when a running program holds it, bad-input when it cannot be made or written to
 */
export async function lockDataFolder(folder: string): Promise<() => Promise<void>> {
  const lock = path.join(folder, lockName)
  const mine = path.join(folder, `.${randomUUID()}.lock`)
  const content = JSON.stringify({ pid: process.pid, started: await startOf(process.pid) })
  try {
    await mkdir(folder, { recursive: true })
    await writeFile(mine, content, { flag: 'wx' })
  } catch (error) {
    const fault = `${folder} cannot be written to (${(error as NodeJS.ErrnoException).code ?? (error as Error).message})`
    const remedy = 'set THROWMARK_DATA to a folder of your own'
    throw new AppError('bad-input', `THROWMARK_DATA: ${fault}; ${remedy}`, { faults: [{ path: 'THROWMARK_DATA', fault, remedy }] })
  }
  try {
    await takeLock(mine, lock, folder)
  } finally {
    await rm(mine, { force: true })
  }
  return async () => {
    if ((await readFile(lock, 'utf8').catch(() => '')) === content) await rm(lock, { force: true })
  }
}

/** A hard link is made or fails, whoever else tries. A lock whose process is gone is moved away by one of those who find it. */
async function takeLock(mine: string, lock: string, folder: string): Promise<void> {
  for (let attempt = 0; attempt < 3; attempt += 1) {
    try {
      await link(mine, lock)
      return
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error
    }
    const holder = await holderOf(lock)
    if (holder !== null) {
      throw new AppError(
        'conflict',
        `${folder}: another Throwmark (process ${holder}) is running on this data folder; stop it, or set THROWMARK_DATA to another folder.`,
      )
    }
    const stale = `${lock}.${randomUUID()}`
    await rename(lock, stale).catch(() => undefined)
    await rm(stale, { force: true })
  }
  throw new AppError('conflict', `${folder}: several programs start on this data folder at once; start one.`)
}

/** The process id that holds the lock, null when that process is gone. */
async function holderOf(lock: string): Promise<number | null> {
  try {
    const { pid, started } = JSON.parse(await readFile(lock, 'utf8')) as { pid: number; started: string | null }
    process.kill(pid, 0)
    const now = await startOf(pid)
    return started === null || now === null || started === now ? pid : null
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM' ? Number.NaN : null
  }
}

/** When a process started, in clock ticks since boot, where the system tells: a process id alone may have been given anew. */
async function startOf(pid: number): Promise<string | null> {
  const stat = await readFile(`/proc/${pid}/stat`, 'utf8').catch(() => null)
  return stat?.slice(stat.lastIndexOf(')') + 2).split(' ')[19] ?? null
}
