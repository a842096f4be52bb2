/**
 * The models of NIST's nonlinear regression sets with their derivatives: each answers the value at predictors x and the derivative by every
 * parameter. https://www.itl.nist.gov/div898/strd/nls/nls_main.shtml (public domain).
 */
export type StrdModel = (b: ArrayLike<number>, x: readonly number[]) => [value: number, ...byParameter: number[]]

const { exp, log, sqrt, cos, sin, atan, PI } = Math

const exponentialRise: StrdModel = (b, [x]) => {
  const e = exp(-b[1] * x)
  return [b[0] * (1 - e), 1 - e, b[0] * x * e]
}

const chwirut: StrdModel = (b, [x]) => {
  const e = exp(-b[0] * x)
  const d = b[1] + b[2] * x
  return [e / d, (-x * e) / d, -e / (d * d), (-x * e) / (d * d)]
}

const gauss: StrdModel = (b, [x]) => {
  const e = exp(-b[1] * x)
  const bell = (height: number, middle: number, width: number): [number, number, number, number] => {
    const off = x - middle
    const g = exp(-(off * off) / (width * width))
    return [height * g, g, (height * g * 2 * off) / (width * width), (height * g * 2 * off * off) / width ** 3]
  }
  const first = bell(b[2], b[3], b[4])
  const second = bell(b[5], b[6], b[7])
  return [b[0] * e + first[0] + second[0], e, -b[0] * x * e, first[1], first[2], first[3], second[1], second[2], second[3]]
}

const lanczos: StrdModel = (b, [x]) => {
  let value = 0
  const slopes: number[] = []
  for (let k = 0; k < 6; k += 2) {
    const e = exp(-b[k + 1] * x)
    value += b[k] * e
    slopes.push(e, -b[k] * x * e)
  }
  return [value, ...slopes]
}

/** Numerator of `upper` terms, denominator 1 + the rest. */
function rational(upper: number): StrdModel {
  return (b, [x]) => {
    let top = 0
    let bottom = 1
    for (let k = 0; k < upper; k++) top += b[k] * x ** k
    for (let k = upper; k < b.length; k++) bottom += b[k] * x ** (k - upper + 1)
    const slopes = Array.from({ length: b.length }, (_, k) =>
      k < upper ? x ** k / bottom : (-top * x ** (k - upper + 1)) / (bottom * bottom),
    )
    return [top / bottom, ...slopes]
  }
}

export const strdModels: Record<string, StrdModel> = {
  Misra1a: exponentialRise,
  BoxBOD: exponentialRise,
  Misra1b: (b, [x]) => {
    const d = 1 + (b[1] * x) / 2
    return [b[0] * (1 - d ** -2), 1 - d ** -2, b[0] * x * d ** -3]
  },
  Misra1c: (b, [x]) => {
    const d = 1 + 2 * b[1] * x
    return [b[0] * (1 - d ** -0.5), 1 - d ** -0.5, b[0] * x * d ** -1.5]
  },
  Misra1d: (b, [x]) => {
    const d = 1 + b[1] * x
    return [(b[0] * b[1] * x) / d, (b[1] * x) / d, (b[0] * x) / (d * d)]
  },
  Chwirut1: chwirut,
  Chwirut2: chwirut,
  DanWood: (b, [x]) => [b[0] * x ** b[1], x ** b[1], b[0] * x ** b[1] * log(x)],
  Gauss1: gauss,
  Gauss2: gauss,
  Gauss3: gauss,
  Lanczos1: lanczos,
  Lanczos2: lanczos,
  Lanczos3: lanczos,
  Hahn1: rational(4),
  Thurber: rational(4),
  Kirby2: rational(3),
  MGH09: (b, [x]) => {
    const top = x * x + x * b[1]
    const bottom = x * x + x * b[2] + b[3]
    return [(b[0] * top) / bottom, top / bottom, (b[0] * x) / bottom, (-b[0] * top * x) / bottom ** 2, (-b[0] * top) / bottom ** 2]
  },
  MGH10: (b, [x]) => {
    const d = x + b[2]
    const e = exp(b[1] / d)
    return [b[0] * e, e, (b[0] * e) / d, (-b[0] * e * b[1]) / (d * d)]
  },
  MGH17: (b, [x]) => {
    const [e, f] = [exp(-x * b[3]), exp(-x * b[4])]
    return [b[0] + b[1] * e + b[2] * f, 1, e, f, -b[1] * x * e, -b[2] * x * f]
  },
  Bennett5: (b, [x]) => {
    const d = b[1] + x
    const p = d ** (-1 / b[2])
    return [b[0] * p, p, (-b[0] * p) / (b[2] * d), (b[0] * p * log(d)) / (b[2] * b[2])]
  },
  Eckerle4: (b, [x]) => {
    const z = (x - b[2]) / b[1]
    const e = exp(-0.5 * z * z)
    return [(b[0] / b[1]) * e, e / b[1], (b[0] / b[1] ** 2) * e * (z * z - 1), (b[0] / b[1] ** 2) * e * z]
  },
  ENSO: (b, [x]) => {
    const year = (2 * PI * x) / 12
    const wave = (a: number, period: number, c: number) => {
      const t = (2 * PI * x) / period
      return { value: a * cos(t) + c * sin(t), byPeriod: ((a * sin(t) - c * cos(t)) * t) / period, cos: cos(t), sin: sin(t) }
    }
    const p = wave(b[4], b[3], b[5])
    const q = wave(b[7], b[6], b[8])
    const value = b[0] + b[1] * cos(year) + b[2] * sin(year) + p.value + q.value
    return [value, 1, cos(year), sin(year), p.byPeriod, p.cos, p.sin, q.byPeriod, q.cos, q.sin]
  },
  Nelson: (b, [time, temperature]) => {
    const e = exp(-b[2] * temperature)
    return [b[0] - b[1] * time * e, 1, -time * e, b[1] * time * temperature * e]
  },
  Rat42: (b, [x]) => {
    const e = exp(b[1] - b[2] * x)
    const d = 1 + e
    return [b[0] / d, 1 / d, (-b[0] * e) / (d * d), (b[0] * e * x) / (d * d)]
  },
  Rat43: (b, [x]) => {
    const e = exp(b[1] - b[2] * x)
    const d = 1 + e
    const p = d ** (-1 / b[3])
    const inner = (-b[0] * p * e) / (b[3] * d)
    return [b[0] * p, p, inner, -x * inner, (b[0] * p * log(d)) / (b[3] * b[3])]
  },
  Roszman1: (b, [x]) => {
    const d = x - b[3]
    const z = b[2] / d
    const k = 1 / (PI * (1 + z * z))
    return [b[0] - b[1] * x - atan(z) / PI, 1, -x, -k / d, (-k * z) / d]
  },
}

/** Nelson's set fits the logarithm of its response. */
export function strdResponse(name: string, y: number): number {
  return name === 'Nelson' ? log(y) : y
}

/** Digits in which two numbers agree. */
export function digitsOfAgreement(found: number, certified: number): number {
  const error = Math.abs(found - certified) / Math.abs(certified)
  return error === 0 ? 16 : -Math.log10(error)
}

/** Largest error of a model's derivatives against central differences, relative to their size. */
export function derivativeError(model: StrdModel, b: readonly number[], x: readonly number[]): number {
  const [, ...slopes] = model(b, x)
  return Math.max(
    ...slopes.map((slope, k) => {
      const h = 1e-5 * (Math.abs(b[k]) || 1)
      const moved = (sign: number) =>
        model(
          b.map((value, i) => (i === k ? value + sign * h : value)),
          x,
        )[0]
      return Math.abs((moved(1) - moved(-1)) / (2 * h) - slope) / (Math.abs(slope) + sqrt(Number.EPSILON) / h)
    }),
  )
}
