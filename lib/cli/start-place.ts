/** First thing at start: the settings, and the data folder for this process alone. Needs nothing that is made from sources. */
import { AppError } from '../model/app-error'
import { lockDataFolder } from '../store/data-folder'
import { readSettings, type Settings } from '../store/settings'

export type Place = { settings: Settings; release: () => Promise<void> }

/** Ends the process with one sentence a fault: exit 2 for a setting, 1 where another program holds the folder. */
export async function takePlace(environment: NodeJS.ProcessEnv, base: string): Promise<Place> {
  try {
    const settings = readSettings(environment, base)
    environment.THROWMARK_DATA = settings.dataFolder
    return { settings, release: await lockDataFolder(settings.dataFolder) }
  } catch (error) {
    if (!(error instanceof AppError)) throw error
    console.error(error.message)
    process.exit(error.code === 'bad-input' ? 2 : 1)
  }
}
