/** A close-up's picture as grey levels small enough to be looked at again and again: about a thousand px on its longer side. */
import { type GreyLevel, greyLevels } from '../photo/grey-picture'
import { coarsePicture, halvingsOf, type Picture } from './picture'

const mostSide = 1300

/** `photoWidth`: width of the photograph that handles are picked on, px. */
export function closeUpLevels(picture: Picture, photoWidth: number): GreyLevel[] {
  const wanted = Math.ceil(Math.log2(Math.max(picture.width, picture.height) / mostSide))
  const { width, height, data } = coarsePicture(picture, Math.min(halvingsOf(picture), Math.max(0, wanted)))
  const grey = new Float32Array(width * height)
  for (let i = 0; i < grey.length; i++) grey[i] = 0.299 * data[3 * i] + 0.587 * data[3 * i + 1] + 0.114 * data[3 * i + 2]
  return greyLevels({ width, height, grey }, photoWidth)
}
