/** A file that a person names to be written: under a temporary name, renamed when whole; until then an older one stays. */
import { randomUUID } from 'node:crypto'
import { rmSync } from 'node:fs'
import { rename, rm, stat } from 'node:fs/promises'
import path from 'node:path'
import { AppError } from '../model/app-error'

/** `kind`: what is written, such as PNG. @throws AppError bad-input where the place cannot hold it */
export async function refuseBadPlace(out: string, kind: string): Promise<void> {
  const folder = path.dirname(path.resolve(out))
  const there = await stat(folder).catch(() => null)
  if (!there?.isDirectory())
    throw new AppError('bad-input', `--out ${JSON.stringify(out)}: there is no folder ${folder}; make it, or name another place.`)
  const old = await stat(out).catch(() => null)
  if (old?.isDirectory()) throw new AppError('bad-input', `--out ${JSON.stringify(out)} is a folder; name the ${kind} to write in it.`)
}

export async function writeWhole(out: string, write: (draft: string) => Promise<unknown>): Promise<void> {
  const draft = path.join(path.dirname(out), `.${path.basename(out)}.${randomUUID()}.part`)
  // stopped while it writes, it leaves no draft behind
  const stopped = () => {
    rmSync(draft, { force: true })
    process.exit(130)
  }
  process.once('SIGINT', stopped).once('SIGTERM', stopped)
  try {
    await write(draft)
    await rename(draft, out)
  } catch (error) {
    await rm(draft, { force: true })
    throw error
  } finally {
    process.off('SIGINT', stopped).off('SIGTERM', stopped)
  }
}
