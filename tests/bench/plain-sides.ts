/**
 * The plain way to propose handles, as a reference: the two longest near-parallel straight edges of the picture (Hough 1962, votes weighted by the gradient,
 * as R. Duda and P. Hart parametrised it in 1972) are taken for the sides, the ends of what they share for the rings.
 */
import type { Handles } from '../../lib/model/photo'
import type { ColourPlanes } from '../../lib/photo/propose-planes'

type Line = { angle: number; offset: number; votes: number }

export function plainHandles({ width, height, scale, red, green, blue }: ColourPlanes): Handles {
  const angles = 180
  const reach = Math.ceil(Math.hypot(width, height) / 2)
  const votes = new Float32Array(angles * (2 * reach + 1))
  const grey = (i: number) => (red[i] + green[i] + blue[i]) / 3
  for (let y = 1; y < height - 1; y++) {
    for (let x = 1; x < width - 1; x++) {
      const i = y * width + x
      const gx = grey(i + 1) - grey(i - 1)
      const gy = grey(i + width) - grey(i - width)
      const size = Math.hypot(gx, gy)
      if (size < 20) continue
      const angle = (Math.round((Math.atan2(gy, gx) / Math.PI) * angles) + angles) % angles
      const turn = (angle * Math.PI) / angles
      const offset = Math.round((x - width / 2) * Math.cos(turn) + (y - height / 2) * Math.sin(turn))
      votes[angle * (2 * reach + 1) + offset + reach] += Math.min(60, size)
    }
  }
  const lines: Line[] = []
  const left = Float32Array.from(votes)
  for (let n = 0; n < 24; n++) {
    let best = 0
    for (let i = 1; i < left.length; i++) if (left[i] > left[best]) best = i
    const angle = Math.floor(best / (2 * reach + 1))
    const offset = (best % (2 * reach + 1)) - reach
    lines.push({ angle: (angle * Math.PI) / angles, offset, votes: left[best] })
    for (let a = angle - 4; a <= angle + 4; a++)
      for (let o = offset - 5; o <= offset + 5; o++) {
        const i = ((a + angles) % angles) * (2 * reach + 1) + o + reach
        if (i >= 0 && i < left.length) left[i] = 0
      }
  }
  let pair: [Line, Line] = [lines[0], lines[1]]
  let strongest = 0
  for (const one of lines)
    for (const other of lines) {
      const apart = Math.abs(one.offset - other.offset)
      if (one === other || Math.abs(Math.sin(one.angle - other.angle)) > 0.12 || apart < 0.15 * Math.min(width, height)) continue
      if (one.votes + other.votes > strongest) {
        strongest = one.votes + other.votes
        pair = [one, other]
      }
    }
  const half = 0.2 * Math.abs(pair[0].offset - pair[1].offset)
  const at = ({ angle, offset }: Line, along: number): [number, number] => [
    scale * (width / 2 + offset * Math.cos(angle) - along * Math.sin(angle)),
    scale * (height / 2 + offset * Math.sin(angle) + along * Math.cos(angle)),
  ]
  const sides = pair.map((line) => [-1, -0.5, 0, 0.5, 1].map((share) => at(line, share * half))) as Handles['sides']
  const ring = (along: number) =>
    [0.2, 0.5, 0.8].map((share): [number, number] => {
      const [a, b] = [at(pair[0], along), at(pair[1], along)]
      return [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])]
    })
  return {
    sides,
    rings: [
      { at: 'front-fillet', points: ring(half) },
      { at: 'rear-fillet', points: ring(-half) },
    ],
    oilHoles: [],
    clock: [],
    strip: null,
  }
}
