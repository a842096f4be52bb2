/**
 * Photographs under ultraviolet that stand so far apart that they share only what both see obliquely are tied once more, where the joint solve has laid them:
 * each is laid on a fine grid of the map, fillets and all, and the windows that two of them share are drawn together; the
 * rings' edges are measured beside. Ties move the cameras, so it is done twice.
 */
import type { Photo } from '../model/photo'
import { alignFits, type LaidPhotos, withTies } from '../photo/align-fits'
import { farPairs, farPairTies } from '../photo/far-pairs'
import { observationsOf } from '../photo/observation'
import { ringEdges } from '../photo/ring-edge'
import { fineColumns } from '../photo/glow-strip'
import { glowStrip } from './glow-strip'
import type { Picture } from './picture'

/** How far the joint solve may be off before each round, mm. */
const reachMm = [
  { around: 1.5, along: 0.5 },
  { around: 0.5, along: 0.3 },
]

/** `pictureOf` is asked for one picture at a time, and only for what is under ultraviolet. */
export async function drawnTogether(laid: LaidPhotos, pictureOf: (photo: Photo) => Promise<Picture | null>): Promise<LaidPhotos> {
  const pairs = farPairs(laid.placed.map(({ camera }) => camera))
  const isLookedAt = laid.placed.map(({ glow }, i) => glow !== null && pairs.some((pair) => pair.includes(i)))
  let drawn = laid
  for (const reach of isLookedAt.includes(true) ? reachMm : []) {
    const fits = alignFits(drawn, [])
    const views = []
    const edges = drawn.placed.map((one) => one.edges)
    for (const [i, { photo, fit: own }] of laid.placed.entries()) {
      const picture = isLookedAt[i] ? await pictureOf(photo) : null
      const fit = fits.get(photo.id) ?? own
      const { camera } = fit
      const strip = picture && glowStrip(laid.surface, { picture, camera, ignore: photo.ignore }, fineColumns)
      if (picture && strip) edges[i] = ringEdges(picture, fit, observationsOf(laid.journal, photo.handles))
      views.push(strip && { camera, strip })
    }
    drawn = { ...drawn, placed: drawn.placed.map((one, i) => ({ ...one, edges: edges[i] })) }
    for (const [first, second] of pairs) {
      const [a, b] = [views[first], views[second]]
      const ties = a && b ? farPairTies(laid.surface, a, b, reach) : []
      if (ties.length > 0) drawn = withTies(drawn, first, second, ties)
    }
  }
  return drawn
}
