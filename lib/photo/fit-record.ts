/** A fit as plain JSON, for keeping and sending: every number comes back to the last digit. */
import { z } from 'zod'
import { warningSchema } from '../model/findings'
import type { Fit } from './cylinder-fit'

const number = z.number()
const place = z.object({ u: number, v: number })
const endSchema = z.object({
  form: z.enum(['tangent', 'undercut', 'step']),
  radius: number,
  radiusSigma: number,
  extentZ: number,
  extentS: number,
})
const handleSchema = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('side'), list: z.union([z.literal(0), z.literal(1)]), index: z.int() }),
  z.object({
    kind: z.literal('ring'),
    ring: z.int(),
    at: z.union([z.enum(['front-cheek', 'front-fillet', 'rear-fillet', 'rear-cheek']), number]),
    index: z.int(),
  }),
  z.object({ kind: z.literal('oilHole'), index: z.int(), id: z.string() }),
  z.object({ kind: z.literal('clock'), index: z.int(), angleDeg: number, axial: number }),
])
const sign = z.union([z.literal(1), z.literal(-1)])

/** Lengths in mm, angles in radians but where a key says otherwise, covariance k x k row-major in the units of the unknowns. */
export const fitRecordSchema = z.object({
  camera: z.object({
    width: number,
    height: number,
    focalPx: number,
    k1: number,
    rotation: z.tuple([number, number, number, number, number, number, number, number, number]),
    translation: z.tuple([number, number, number]),
  }),
  surface: z.object({
    radius: number,
    width: number,
    front: endSchema,
    rear: endSchema,
    totalS: number,
    frontTangentZ: number,
    rearTangentZ: number,
    frontTangentS: number,
    rearTangentS: number,
  }),
  rollKnown: z.boolean(),
  slideKnown: z.boolean(),
  senseKnown: z.boolean(),
  trusted: z.boolean(),
  residualsWithinRange: z.boolean(),
  rmsPx: number,
  chiSquare: number,
  degreesOfFreedom: number,
  pickSigmaPx: number,
  residuals: z.array(
    z.object({
      handle: handleSchema,
      residualPx: number,
      studentised: number,
      leftOut: z.boolean(),
      pick: place,
      nearest: place,
      residualMm: number,
    }),
  ),
  unknowns: z.array(z.int()),
  covariance: z.array(number),
  sigmas: z.object({ angleDeg: number, filletMm: number.nullable(), aroundMm: number.nullable() }),
  contourSigns: z.tuple([sign, sign]),
  warnings: z.array(warningSchema),
  strip: z
    .object({
      markers: z.array(z.object({ id: z.int(), corners: z.array(place), predicted: z.array(place) })),
      rims: z.array(z.object({ holeId: z.string(), u: number, v: number, sigmaPx: number, used: z.boolean() })),
      outlines: z.array(z.array(place)),
      scale: number,
      skewMm: number,
      frontEdgeMm: number.nullable(),
      zeroAngleDeg: number.nullable(),
    })
    .optional(),
})

export type FitRecord = z.infer<typeof fitRecordSchema>

export function recordOfFit(fit: Fit): FitRecord {
  return { ...fit, camera: { ...fit.camera }, contourSigns: [...fit.contourSigns], covariance: [...fit.covariance] } as FitRecord
}

export function fitOfRecord(record: FitRecord): Fit {
  return { ...record, covariance: Float64Array.from(record.covariance) }
}
