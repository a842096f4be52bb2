/** What of a photograph shows no metal: the outlines that a person left out, and the printed strip where one was found. */
import type { Photo } from '../model/photo'
import type { Fit } from './cylinder-fit'

export function leftOutOf(photo: Pick<Photo, 'ignore'>, fit: Pick<Fit, 'strip'>): Photo['ignore'] {
  if (!fit.strip) return photo.ignore
  return [...photo.ignore, ...fit.strip.outlines.map((outline) => outline.map(({ u, v }): [number, number] => [u, v]))]
}
