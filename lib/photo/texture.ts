/**
 * What a rolled-out photograph shows of the surface itself, made ready for comparing: the lay of grinding runs around
 * the journal, so only what changes along the turn over 0.25 to 1.6 mm is kept; what lamps and chatter draw runs along
 * the axis, so what lasts over 3 mm along it is taken off; local contrast is then evened out. Masked throughout: unseen
 * places count nowhere.
 */
export type GreyStrip = {
  /** Columns around one whole turn, rows along the meridian. */
  width: number
  height: number
  pxPerMm: number
  /** Row-major grey levels 0..255. */
  grey: Float32Array
  /** 1 where the surface is seen well enough to compare, else 0. */
  mask: Uint8Array
}

export type TextureStrip = { width: number; height: number; pxPerMm: number; value: Float32Array; mask: Uint8Array }

/** Sigmas, mm: what is smoothed away, what is taken off around the turn and along the axis, over what contrast is evened out. */
export type TextureScale = { fineMm: number; broadMm: number; streakMm: number; contrastMm: number }

export const fineTexture: TextureScale = { fineMm: 0.25, broadMm: 1.6, streakMm: 3, contrastMm: 2 }
/** Contrast below this (of the logarithm of grey) is noise and is not blown up. */
const leastContrast = 4.5e-3
const clip = 3

/** The mouth of an oil hole or a shadow: darker than this share of the steel beside it, and about as broad as a small hole. */
const darkShare = 0.5
const darkMm = 0.8
const brighterHalf = 0.7

export function textureOf(strip: GreyStrip, scale: TextureScale = fineTexture): TextureStrip {
  const { width, height, pxPerMm } = strip
  const seen = seenColumns(strip)
  const margin = Math.ceil(reachSigmas * pxPerMm * Math.max(scale.broadMm, scale.contrastMm, 2 * darkMm))
  if (seen.count + margin >= width) return wholeTextureOf(strip, scale)
  // what is seen, with enough unseen beside it that the two ends do not meet
  const part = wholeTextureOf(columnsOf(strip, seen.first, seen.count + margin), scale)
  const whole = { width, height, pxPerMm, value: new Float32Array(width * height), mask: new Uint8Array(width * height) }
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < seen.count; x++) {
      const to = y * width + ((seen.first + x) % width)
      const from = y * part.width + x
      whole.value[to] = part.value[from]
      whole.mask[to] = part.mask[from]
    }
  }
  return whole
}

/** Beyond so many sigmas three running means reach nothing. */
const reachSigmas = 3.2

/** The shortest run of columns, around the turn, that holds all that is seen. */
function seenColumns({ width, height, mask }: GreyStrip): { first: number; count: number } {
  const any = new Uint8Array(width)
  for (let y = 0; y < height; y++) for (let x = 0; x < width; x++) any[x] |= mask[y * width + x]
  let longest = { from: 0, count: 0 }
  for (let x = 0, run = 0; x < 2 * width; x++) {
    run = any[x % width] ? 0 : Math.min(width, run + 1)
    if (run > longest.count) longest = { from: x - run + 1, count: run }
  }
  return { first: (longest.from + longest.count) % width, count: width - longest.count }
}

function columnsOf({ width, height, pxPerMm, grey, mask }: GreyStrip, first: number, count: number): GreyStrip {
  const part = { width: count, height, pxPerMm, grey: new Float32Array(count * height), mask: new Uint8Array(count * height) }
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < count; x++) {
      const from = y * width + ((first + x) % width)
      part.grey[y * count + x] = grey[from]
      part.mask[y * count + x] = mask[from]
    }
  }
  return part
}

function wholeTextureOf(strip: GreyStrip, { fineMm, broadMm, streakMm, contrastMm }: TextureScale): TextureStrip {
  const { width, height, pxPerMm, grey } = strip
  const count = width * height
  const mask = withoutDarkPlaces(strip)
  const smooth = smoother(mask, width, height)
  const logGrey = new Float32Array(count)
  for (let i = 0; i < count; i++) logGrey[i] = mask[i] ? Math.log(grey[i] + 8) : 0
  const fine = smooth(logGrey, fineMm * pxPerMm, 0)
  const broad = smooth(logGrey, broadMm * pxPerMm, 0)
  for (let i = 0; i < count; i++) fine[i] = mask[i] ? fine[i] - broad[i] : 0
  const value = smooth(fine, 0, fineMm * pxPerMm)
  const streaks = smooth(fine, 0, streakMm * pxPerMm)
  for (let i = 0; i < count; i++) value[i] -= streaks[i]
  const square = new Float32Array(count)
  for (let i = 0; i < count; i++) square[i] = value[i] * value[i]
  const variance = smooth(square, contrastMm * pxPerMm, contrastMm * pxPerMm)
  for (let i = 0; i < count; i++) {
    value[i] = mask[i] ? Math.max(-clip, Math.min(clip, value[i] / Math.sqrt(variance[i] + leastContrast ** 2))) : 0
  }
  return { width, height, pxPerMm, value, mask }
}

/**
 * What is seen, less dark places and what lies about them: one oil hole looks like the other, and would lay a photograph
 * of the one on a photograph of the other.
 */
function withoutDarkPlaces({ width, height, pxPerMm, grey, mask }: GreyStrip): Uint8Array {
  const dark = new Float32Array(width * height)
  const counts = new Uint32Array(256)
  for (let x = 0; x < width; x++) {
    counts.fill(0)
    let seen = 0
    for (let y = 0; y < height; y++) {
      const i = y * width + x
      if (!mask[i]) continue
      counts[Math.max(0, Math.min(255, Math.floor(grey[i])))]++
      seen++
    }
    let steel = 0
    for (let below = counts[0]; below <= brighterHalf * seen && steel < 255; below += counts[steel]) steel++
    for (let y = 0; y < height; y++) {
      const i = y * width + x
      if (mask[i] && grey[i] < darkShare * steel) dark[i] = 1
    }
  }
  const sigma = darkMm * pxPerMm
  const share = blurred(dark, width, height, sigma, sigma)
  for (let i = 0; i < share.length; i++) share[i] = share[i] > 0.5 ? 1 : 0
  const about = blurred(share, width, height, sigma, sigma)
  return mask.map((seen, i) => (seen && about[i] < 0.02 ? 1 : 0))
}

/** The same strip at half the width and height: means of 2 x 2 places, seen where all four are. */
export function halfStrip({ width, height, pxPerMm, value, mask }: TextureStrip): TextureStrip {
  const w = width >> 1
  const h = height >> 1
  const half = { width: w, height: h, pxPerMm: pxPerMm / 2, value: new Float32Array(w * h), mask: new Uint8Array(w * h) }
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      const i = 2 * y * width + 2 * x
      if (!(mask[i] && mask[i + 1] && mask[i + width] && mask[i + width + 1])) continue
      half.mask[y * w + x] = 1
      half.value[y * w + x] = (value[i] + value[i + 1] + value[i + width] + value[i + width + 1]) / 4
    }
  }
  return half
}

/** The turn nearest to a wanted one by which a strip's columns fall on columns, radians. */
export function wholeTurn({ width }: TextureStrip, turn: number): number {
  return (Math.round((turn / (2 * Math.PI)) * width) / width) * 2 * Math.PI
}

/** The strip when a whole turn is added to its angles. */
export function turnedStrip(strip: TextureStrip, turn: number): TextureStrip {
  const { width, height } = strip
  const columns = Math.round((turn / (2 * Math.PI)) * width)
  const shift = ((columns % width) + width) % width
  const out = { ...strip, value: new Float32Array(width * height), mask: new Uint8Array(width * height) }
  for (let row = 0; row < width * height; row += width) {
    for (const [to, from, end] of [
      [shift, 0, width - shift],
      [0, width - shift, width],
    ]) {
      out.value.set(strip.value.subarray(row + from, row + end), row + to)
      out.mask.set(strip.mask.subarray(row + from, row + end), row + to)
    }
  }
  return out
}

/** What several strips of one size show in the mean: what stands still beside the shaft gives way to the steel. */
export function meanTexture(strips: readonly TextureStrip[]): TextureStrip {
  const { width, height, pxPerMm } = strips[0]
  const mean = { width, height, pxPerMm, value: new Float32Array(width * height), mask: new Uint8Array(width * height) }
  const counts = new Uint16Array(width * height)
  for (const { value, mask } of strips) {
    for (let i = 0; i < counts.length; i++) {
      if (!mask[i]) continue
      counts[i]++
      mean.value[i] += value[i]
    }
  }
  for (let i = 0; i < counts.length; i++) {
    if (counts[i] === 0) continue
    mean.mask[i] = 1
    mean.value[i] /= counts[i]
  }
  return mean
}

/** The same grey strip at half the width and height: means of what is seen of 2 x 2 places, where at least two are. */
export function halfGrey({ width, height, pxPerMm, grey, mask }: GreyStrip): GreyStrip {
  const w = width >> 1
  const h = height >> 1
  const half = { width: w, height: h, pxPerMm: pxPerMm / 2, grey: new Float32Array(w * h), mask: new Uint8Array(w * h) }
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      let sum = 0
      let count = 0
      for (const i of [2 * y * width + 2 * x, 2 * y * width + 2 * x + 1, (2 * y + 1) * width + 2 * x, (2 * y + 1) * width + 2 * x + 1]) {
        if (!mask[i]) continue
        sum += grey[i]
        count++
      }
      if (count < 2) continue
      half.mask[y * w + x] = 1
      half.grey[y * w + x] = sum / count
    }
  }
  return half
}

/**
 * Masked means over a sigma around the turn and one along the meridian: three running means, within a few per cent of a
 * Gaussian. The turn wraps, the meridian ends at the cheeks.
 */
function smoother(mask: Uint8Array, width: number, height: number) {
  const ones = Float32Array.from(mask)
  return (values: Float32Array, aroundSigma: number, alongSigma: number): Float32Array => {
    const sums = blurred(values, width, height, aroundSigma, alongSigma)
    const weights = blurred(ones, width, height, aroundSigma, alongSigma)
    for (let i = 0; i < sums.length; i++) sums[i] = weights[i] > 1e-3 ? sums[i] / weights[i] : 0
    return sums
  }
}

function blurred(values: Float32Array, width: number, height: number, aroundSigma: number, alongSigma: number): Float32Array {
  const around = aroundSigma > 0 ? blurredAround(values, width, height, boxHalf(aroundSigma)) : Float32Array.from(values)
  return alongSigma > 0 ? blurredAlong(around, width, height, boxHalf(alongSigma)) : around
}

/** Half width of a box whose threefold use has the variance of a Gaussian: 3 ((2h + 1)^2 - 1) / 12 = sigma^2. */
function boxHalf(sigma: number): number {
  return Math.max(1, Math.round((Math.sqrt(4 * sigma * sigma + 1) - 1) / 2))
}

const passes = 3

/** Running means along each row, which closes on itself. */
function blurredAround(values: Float32Array, width: number, height: number, half: number): Float32Array {
  const out = new Float32Array(values.length)
  const share = 1 / (2 * half + 1)
  // one place more than the box reaches: the running sum reads it after the last column
  let from = new Float64Array(width + 2 * half + 1)
  let to = new Float64Array(width + 2 * half + 1)
  for (let y = 0; y < height; y++) {
    const row = y * width
    for (let i = 0; i < width; i++) from[half + i] = values[row + i]
    for (let pass = 0; pass < passes; pass++) {
      for (let i = 0; i < half; i++) {
        from[i] = from[width + i]
        from[half + width + i] = from[half + i]
      }
      let sum = 0
      for (let i = 0; i <= 2 * half; i++) sum += from[i]
      for (let i = 0; i < width; i++) {
        to[half + i] = sum * share
        sum += from[i + 2 * half + 1] - from[i]
      }
      const swap = from
      from = to
      to = swap
    }
    for (let i = 0; i < width; i++) out[row + i] = from[half + i]
  }
  return out
}

/** Running means along each column, a row at a time; nothing lies beyond the first and the last row. */
function blurredAlong(values: Float32Array, width: number, height: number, half: number): Float32Array {
  const share = 1 / (2 * half + 1)
  let from: Float32Array = values
  for (let pass = 0; pass < passes; pass++) {
    const to = new Float32Array(values.length)
    const sum = new Float64Array(width)
    for (let y = 0; y < Math.min(half, height); y++) for (let x = 0; x < width; x++) sum[x] += from[y * width + x]
    for (let y = 0; y < height; y++) {
      const enters = y + half < height ? (y + half) * width : -1
      const leaves = y - half - 1 >= 0 ? (y - half - 1) * width : -1
      if (enters >= 0) for (let x = 0; x < width; x++) sum[x] += from[enters + x]
      if (leaves >= 0) for (let x = 0; x < width; x++) sum[x] -= from[leaves + x]
      const row = y * width
      for (let x = 0; x < width; x++) to[row + x] = sum[x] * share
    }
    from = to
  }
  return from
}
