/** A place of one picture in the terms of another, through the fits. */
import { withinTurn } from '@/components/map/map-sheet'
import { visiblePixel } from '@/components/photo/surface-curves'
import type { MapPoint } from '@/lib/journal/surface'
import type { Fit } from '@/lib/photo/cylinder-fit'
import { pixelToMap } from '@/lib/photo/unproject'
import type { JournalModel } from './bench-model'
import { type Ground, groundOf, type MapPlace, type PhotoPlace, type Place, sameGround } from './tools/place'

/** Null where the place is not seen there, or the photograph cannot tell where on the journal it is. */
export function convertPlace(model: JournalModel, place: Place, ground: Ground): Place | null {
  if (sameGround(groundOf(place), ground)) return place
  const onMap = place.on === 'map' ? place : toMap(placedFit(model, place.photoId), place)
  if (!onMap || ground.on === 'map') return onMap
  const fit = placedFit(model, ground.photoId)
  const seen = fit && visiblePixel(fit.surface, fit.camera, onMap)
  return seen ? { on: 'photo', photoId: ground.photoId, ...seen } : null
}

export function toMap(fit: Fit | null, { u, v }: Pick<PhotoPlace, 'u' | 'v'>): (MapPlace & MapPoint) | null {
  if (!fit) return null
  const hit = pixelToMap(fit.surface, fit.camera, { u, v })
  return hit.ok ? { on: 'map', theta: withinTurn(hit.value.theta), s: hit.value.s } : null
}

/** The fit of a photograph, by its name, where it tells the place on the journal. */
function placedFit(model: JournalModel, photoId: string): Fit | null {
  const row = model.photos.find((photo) => photo.value.id === photoId)
  const fit = row && model.fits.get(row.id)
  return fit?.ok && fit.value.rollKnown && fit.value.slideKnown ? fit.value : null
}
