/** One running program a data folder. */
import { spawn } from 'node:child_process'
import { mkdtemp, readdir, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { lockDataFolder } from '../../../lib/store/data-folder'

let folder: string
beforeEach(async () => {
  folder = await mkdtemp(path.join(tmpdir(), 'throwmark-lock-'))
})
afterEach(() => rm(folder, { recursive: true, force: true }))

describe('the lock of a data folder', () => {
  it('is held by one, refused to others with a sentence, and free again afterwards', async () => {
    const release = await lockDataFolder(folder)
    await expect(lockDataFolder(folder)).rejects.toThrow(/another Throwmark \(process \d+\) is running/)
    await release()
    const again = await lockDataFolder(folder)
    await again()
    expect(await readdir(folder)).toEqual([])
  })

  it('goes to exactly one of many that start at once', async () => {
    const outcomes = await Promise.allSettled(Array.from({ length: 12 }, () => lockDataFolder(folder)))
    expect(outcomes.filter(({ status }) => status === 'fulfilled')).toHaveLength(1)
  })

  it('left by a process that is gone is taken over', async () => {
    const child = spawn(process.execPath, ['-e', ''])
    await new Promise((resolve) => child.once('close', resolve))
    await writeFile(path.join(folder, 'throwmark.lock'), JSON.stringify({ pid: child.pid, started: '1' }))
    const release = await lockDataFolder(folder)
    await release()
  })

  it('left by a process whose number was given anew is taken over', async () => {
    await writeFile(path.join(folder, 'throwmark.lock'), JSON.stringify({ pid: process.pid, started: 'another start' }))
    const release = await lockDataFolder(folder)
    await release()
  })

  it('says which setting to mend when the folder cannot be made', async () => {
    const file = path.join(folder, 'a-file')
    await writeFile(file, '')
    await expect(lockDataFolder(path.join(file, 'data'))).rejects.toMatchObject({ code: 'bad-input', path: 'THROWMARK_DATA' })
  })
})
