/**
 * Pixels to roll out: a photograph after EXIF orientation, or a smaller preview of it, and its halvings. Each halving is the mean of 2 x 2
 * pixels, so that a map coarser than the photograph averages instead of skipping.
 */
export type Picture = {
  width: number
  height: number
  /** 3: RGB; 4: RGBA, of which the alpha is not read. */
  channels: 3 | 4
  /** Row-major, 8 bits a channel. */
  data: Uint8Array | Uint8ClampedArray
}

/** The picture and its halvings down to 64 px, each made when first asked for. */
export type Pyramid = { levels: Picture[]; depth: number }

export function pyramidOf(picture: Picture): Pyramid {
  if (picture.data.length !== picture.width * picture.height * picture.channels) {
    throw new Error(`picture of ${picture.width} x ${picture.height} x ${picture.channels} holds ${picture.data.length} bytes`)
  }
  const depth = Math.max(0, Math.floor(Math.log2(Math.min(picture.width, picture.height) / 64)))
  return { levels: [picture], depth }
}

export function levelOf(pyramid: Pyramid, level: number): Picture {
  while (pyramid.levels.length <= level) pyramid.levels.push(halved(pyramid.levels[pyramid.levels.length - 1]))
  return pyramid.levels[level]
}

function halved(picture: Picture): Picture {
  const { channels, data } = picture
  const width = picture.width >> 1
  const height = picture.height >> 1
  const out = new Uint8Array(width * height * channels)
  const stride = picture.width * channels
  for (let y = 0, at = 0; y < height; y++) {
    for (let x = 0, from = 2 * y * stride; x < width; x++, from += 2 * channels) {
      for (let c = 0; c < channels; c++) {
        const i = from + c
        out[at++] = (data[i] + data[i + channels] + data[i + stride] + data[i + stride + channels] + 2) >> 2
      }
    }
  }
  return { width, height, channels, data: out }
}
