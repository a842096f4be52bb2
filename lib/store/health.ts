/** Whether what the program keeps its work in answers. */
import { database } from './database'
import { photoStorage } from './photo-storage'

/** @returns the part that does not answer, null when both do */
export async function failingPart(): Promise<'database' | 'photo store' | null> {
  try {
    await database().client.shaft.count()
  } catch (error) {
    console.error('database', error)
    return 'database'
  }
  try {
    await photoStorage().check()
  } catch (error) {
    console.error('photo store', error)
    return 'photo store'
  }
  return null
}
