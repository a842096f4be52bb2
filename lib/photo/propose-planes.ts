/**
 * What the search for a journal reads of a photograph: colour planes at a few sizes, and at each size the structure tensor of
 * the colours (S. Di Zenzo, "A note on the gradient of a multi-image", 1986), squashed so that a strong edge counts little more
 * than a clear one.
 */

/** Upright pixels, row by row. */
export type PixelPicture = { width: number; height: number; channels: 3 | 4; data: Uint8Array | Uint8ClampedArray }

export type ColourPlanes = {
  width: number
  height: number
  /** Pixels of the photograph to one pixel here. */
  scale: number
  red: Float32Array
  green: Float32Array
  blue: Float32Array
}

/**
 * Orientation of the colour gradient at each pixel, doubled: with phi the direction across the edge, `cos` = m cos 2 phi, `sin` = m sin 2 phi,
 * and `size` = m between 0 and 1.
 */
export type EdgeField = { width: number; height: number; scale: number; cos: Float32Array; sin: Float32Array; size: Float32Array }

/** The picture averaged over whole blocks so that its longer edge is near `longEdge` px; never enlarged. */
export function shrunkPlanes(picture: PixelPicture, longEdge: number): ColourPlanes {
  const side = Math.max(1, Math.round(Math.max(picture.width, picture.height) / longEdge))
  const { channels, data } = picture
  const width = Math.floor(picture.width / side)
  const height = Math.floor(picture.height / side)
  const [red, green, blue] = [0, 1, 2].map(() => new Float32Array(width * height))
  const stride = picture.width * channels
  const share = 1 / (side * side)
  for (let y = 0; y < height; y++) {
    const row = y * width
    for (let line = y * side; line < (y + 1) * side; line++) {
      let p = line * stride
      for (let x = 0; x < width; x++) {
        let r = 0
        let g = 0
        let b = 0
        for (let k = 0; k < side; k++, p += channels) {
          r += data[p]
          g += data[p + 1]
          b += data[p + 2]
        }
        red[row + x] += r * share
        green[row + x] += g * share
        blue[row + x] += b * share
      }
    }
  }
  return { width, height, scale: side, red, green, blue }
}

/** The planes averaged over blocks of `side` px. */
export function blockPlanes(planes: ColourPlanes, side: number): ColourPlanes {
  const width = Math.floor(planes.width / side)
  const height = Math.floor(planes.height / side)
  const average = (from: Float32Array) => blockMeans(from, planes.width, width, height, side)
  return { width, height, scale: side * planes.scale, red: average(planes.red), green: average(planes.green), blue: average(planes.blue) }
}

/** Ultraviolet lamps leave hardly any red in a picture; a blue rag in white light does so too, in its own part. Takes a colour, or sums of colours. */
export function isUltraviolet(red: number, green: number, blue: number): boolean {
  return red < 0.84 * Math.max(green, blue)
}

/**
 * Green above blue, as a share of all three. Under ultraviolet particles cling to castings and fillets and glow greenish, ground steel returns the lamp's
 * own violet; the sensor's noise, nearly the same in all channels, hardly shows in it.
 */
export function huePlane({ red, green, blue }: ColourPlanes): Float32Array {
  return red.map((r, i) => (green[i] - blue[i]) / (r + green[i] + blue[i] + 10))
}

/** Variance of the colours over the picture, grey levels squared, three channels together; at least 1. */
export function colourVariance({ red, green, blue }: ColourPlanes): number {
  let total = 0
  for (const plane of [red, green, blue]) {
    let sum = 0
    let square = 0
    for (let i = 0; i < plane.length; i++) {
      sum += plane[i]
      square += plane[i] * plane[i]
    }
    total += square / plane.length - (sum / plane.length) ** 2
  }
  return Math.max(1, total)
}

/** `halfSize`: the gradient, as a quantile of the picture's own, that counts one half. */
export function edgeField(planes: ColourPlanes, halfSize: number): EdgeField {
  const { width, height } = planes
  const [xx, xy, yy] = [0, 1, 2].map(() => new Float32Array(width * height))
  for (const plane of [planes.red, planes.green, planes.blue]) {
    for (let y = 1; y < height - 1; y++) {
      for (let x = 1, i = y * width + 1; x < width - 1; x++, i++) {
        const a = plane[i - width - 1]
        const b = plane[i - width]
        const c = plane[i - width + 1]
        const d = plane[i - 1]
        const e = plane[i + 1]
        const f = plane[i + width - 1]
        const g = plane[i + width]
        const h = plane[i + width + 1]
        const gx = c + 2 * e + h - a - 2 * d - f
        const gy = f + 2 * g + h - a - 2 * b - c
        xx[i] += gx * gx
        xy[i] += gx * gy
        yy[i] += gy * gy
      }
    }
  }
  const floor = Math.max(1, quantileOfSum(xx, yy, halfSize))
  for (let i = 0; i < xx.length; i++) {
    const total = xx[i] + yy[i]
    const k = 1 / (total + floor)
    const cos = (xx[i] - yy[i]) * k
    const sin = 2 * xy[i] * k
    yy[i] = total * k
    xx[i] = cos
    xy[i] = sin
  }
  return { width, height, scale: planes.scale, cos: xx, sin: xy, size: yy }
}

/** A field averaged over blocks of `side` px: what runs which way in a patch. */
export function blockField(field: EdgeField, side: number): EdgeField {
  const width = Math.floor(field.width / side)
  const height = Math.floor(field.height / side)
  const average = (from: Float32Array) => blockMeans(from, field.width, width, height, side)
  return { width, height, scale: field.scale * side, cos: average(field.cos), sin: average(field.sin), size: average(field.size) }
}

function blockMeans(from: Float32Array, stride: number, width: number, height: number, side: number): Float32Array {
  const out = new Float32Array(width * height)
  const share = 1 / (side * side)
  for (let y = 0; y < height * side; y++) {
    const row = Math.floor(y / side) * width
    for (let x = 0, p = y * stride; x < width; x++) {
      let sum = 0
      for (let k = 0; k < side; k++) sum += from[p++]
      out[row + x] += sum * share
    }
  }
  return out
}

function quantileOfSum(xx: Float32Array, yy: Float32Array, share: number): number {
  const sample: number[] = []
  for (let i = 0; i < xx.length; i += 7) sample.push(xx[i] + yy[i])
  sample.sort((a, b) => a - b)
  return sample[Math.min(sample.length - 1, Math.floor(share * sample.length))] ?? 0
}
