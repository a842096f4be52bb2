/**
 * Pixels of a HEIC picture. The decoder (heic-decode over libheif-js, LGPL-3.0) is used unchanged from its own package and
 * touched in this file alone, so that it can be replaced.
 */
import heicDecode from 'heic-decode'

/** Eight-bit RGBA, upright: rotation and mirroring of the container are applied. */
export type RgbaPicture = { width: number; height: number; data: Uint8ClampedArray }

/** @throws Error when the container or its picture is damaged */
export function decodeHeic(bytes: Uint8Array): Promise<RgbaPicture> {
  return heicDecode({ buffer: bytes })
}
