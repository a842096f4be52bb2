/** A photograph as grey levels, halved and halved again, so that it can be looked at as coarsely as the map asks for. */
export type GreyPicture = { width: number; height: number; grey: Float32Array }

/** The finest first; `photoPx` is the side of one of its pixels in px of the photograph. */
export type GreyLevel = GreyPicture & { photoPx: number }

/** `photoWidth`: width of the photograph that the finest level was made from, px. */
export function greyLevels(finest: GreyPicture, photoWidth: number): GreyLevel[] {
  const levels: GreyLevel[] = [{ ...finest, photoPx: photoWidth / finest.width }]
  for (let last = levels[0]; Math.min(last.width, last.height) >= 2 * leastSide; ) {
    last = halved(last)
    levels.push(last)
  }
  return levels
}

const leastSide = 24

/** The coarsest level whose pixels are no larger than wanted, px of the photograph; the finest where there is none. */
export function levelFor(levels: readonly GreyLevel[], photoPx: number): GreyLevel {
  let chosen = levels[0]
  for (const level of levels) if (level.photoPx <= photoPx) chosen = level
  return chosen
}

/** Bilinear grey level at a place of the photograph; what lies beyond the middles of the outermost pixels is that pixel's. */
export function greyAt({ width, height, grey, photoPx }: GreyLevel, u: number, v: number): number {
  const x = Math.min(width - 1, Math.max(0, u / photoPx - 0.5))
  const y = Math.min(height - 1, Math.max(0, v / photoPx - 0.5))
  const column = Math.min(width - 2, Math.floor(x))
  const row = Math.min(height - 2, Math.floor(y))
  const at = row * width + column
  const fx = x - column
  const fy = y - row
  return (1 - fy) * ((1 - fx) * grey[at] + fx * grey[at + 1]) + fy * ((1 - fx) * grey[at + width] + fx * grey[at + width + 1])
}

function halved({ width, height, grey, photoPx }: GreyLevel): GreyLevel {
  const w = width >> 1
  const h = height >> 1
  const out = new Float32Array(w * h)
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      const at = 2 * y * width + 2 * x
      out[y * w + x] = (grey[at] + grey[at + 1] + grey[at + width] + grey[at + width + 1]) / 4
    }
  }
  return { width: w, height: h, grey: out, photoPx: 2 * photoPx }
}
