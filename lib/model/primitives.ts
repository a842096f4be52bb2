/** Small schemas that every document is made of. */
import { z } from 'zod'

export const idSchema = z.string().min(1).max(200)
export const lengthSchema = z.number()
export const positiveLengthSchema = z.number().positive()
/** A place in a photograph: x right, y down, from the top-left corner of the top-left pixel. */
export const pixelSchema = z.tuple([z.number(), z.number()])
