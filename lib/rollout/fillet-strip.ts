/** The two fillets of one photograph as rows of brightness around the turn, seen to within a few degrees of grazing; null where neither end is a fillet. */
import type { Surface } from '../journal/surface'
import { filletColumns, type FilletStrip } from '../photo/fillet-turn'
import { outlinesOf, withinOutlines } from '../photo/outline'
import { emptyPointView, rowView, viewPoint } from '../photo/row-view'
import type { RolloutView } from './rollout'

const rowsEach = 12
const leastCosine = 0.12
/** Webs stand further out than the fillet's edge and hide more than the journal's sizes tell, mm. */
const webBeyondMm = 6

export function filletStrip(surface: Surface, { picture, camera, ignore }: RolloutView): FilletStrip | null {
  const rows: number[] = []
  for (let k = 0; k < rowsEach; k++) {
    const share = (k + 0.5) / rowsEach
    if (surface.front.form === 'tangent') rows.push(surface.frontTangentS * share)
    if (surface.rear.form === 'tangent') rows.push(surface.totalS - (surface.totalS - surface.rearTangentS) * share)
  }
  if (rows.length === 0) return null
  const grey = new Float32Array(rows.length * filletColumns).fill(Number.NaN)
  const facing = new Float32Array(grey.length)
  const outlines = outlinesOf(ignore)
  const point = emptyPointView()
  const { width, height, channels, data } = picture
  const [scaleU, scaleV] = [width / camera.width, height / camera.height]
  rows.forEach((s, row) => {
    const view = rowView(surface, camera, s)
    for (let i = 0; i < filletColumns; i++) {
      const theta = ((i + 0.5) / filletColumns) * 2 * Math.PI
      if (!viewPoint(view, Math.cos(theta), Math.sin(theta), point)) continue
      if (point.cosIncidence < leastCosine || point.cheekMargin < webBeyondMm) continue
      const u = Math.floor(point.u * scaleU)
      const v = Math.floor(point.v * scaleV)
      if (u < 1 || v < 1 || u + 1 >= width || v + 1 >= height || withinOutlines(outlines, point.u, point.v)) continue
      let sum = 0
      for (let dy = -1; dy <= 1; dy++) {
        for (let dx = -1; dx <= 1; dx++) {
          const at = ((v + dy) * width + u + dx) * channels
          sum += 0.2 * data[at] + 0.7 * data[at + 1] + 0.1 * data[at + 2]
        }
      }
      grey[row * filletColumns + i] = sum / 9
      facing[row * filletColumns + i] = point.cosIncidence
    }
  })
  return { rows, grey, facing }
}
