/** What an owner sets from outside, in one place: environment variables, checked before anything else runs. */
import path from 'node:path'
import { z } from 'zod'
import { badInput } from '../model/app-error'

const loopbackHosts = ['127.0.0.1', 'localhost', '::1'] as const

const settingsSchema = z.object({
  THROWMARK_PORT: z
    .string()
    .regex(/^\d{1,5}$/, 'is not a port; give a whole number from 1 to 65535')
    .transform(Number)
    .refine((port) => port >= 1 && port <= 65535, 'is not a port; give a whole number from 1 to 65535')
    .default(4870),
  THROWMARK_HOST: z
    .enum(loopbackHosts, 'is refused: until there are accounts Throwmark answers on this machine alone; give 127.0.0.1, localhost or ::1')
    .default('127.0.0.1'),
  THROWMARK_DATA: z.string().default('data'),
  THROWMARK_DEMO: z
    .enum(['on', 'off'], 'is neither on nor off; give on to put the example shafts into a new data folder, off to leave it empty')
    .default('on'),
})

export type Settings = {
  port: number
  host: (typeof loopbackHosts)[number]
  /** Absolute path of the data folder. */
  dataFolder: string
  /** Whether a new data folder gets the example shafts. */
  demo: boolean
}

/**
 * Reads the settings. An empty variable counts as not set. A relative data folder counts from `base`.
 * @throws AppError bad-input, one fault a variable
 */
export function readSettings(environment: Record<string, string | undefined>, base: string): Settings {
  const given = Object.fromEntries(Object.keys(settingsSchema.shape).map((name) => [name, environment[name]?.trim() || undefined]))
  const parsed = settingsSchema.safeParse(given)
  if (!parsed.success) {
    throw badInput(
      parsed.error.issues.map((issue) => {
        const name = String(issue.path[0])
        const [fault, remedy] = issue.message.split('; ') as [string, string]
        return { path: name, fault: `${JSON.stringify(given[name])} ${fault}`, remedy }
      }),
    )
  }
  return {
    port: parsed.data.THROWMARK_PORT,
    host: parsed.data.THROWMARK_HOST,
    dataFolder: path.resolve(base, parsed.data.THROWMARK_DATA),
    demo: parsed.data.THROWMARK_DEMO === 'on',
  }
}
