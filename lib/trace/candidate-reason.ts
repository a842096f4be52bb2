/** In one sentence what speaks for a candidate being a mark, and what against it; no lengths, which each screen tells in its own units. */
import { featureNames, type Features } from './candidate-features'
import type { Lighting } from './line-strip'

export function reasonOf(features: Features, lighting: Lighting): string {
  const of = (name: (typeof featureNames)[number]) => features[featureNames.indexOf(name)]
  const speaks: string[] = []
  const against: string[] = []
  const share = Math.round(100 * Math.max(of('contrast'), of('depth')))
  speaks.push(lighting === 'white' ? `a dark line, ${Math.max(1, share)} % darker than the steel beside it` : 'a line of glowing particles')
  const [seeing, agreeing] = [of('photosSeeing'), of('photosAgreeing')]
  if (seeing > 1)
    (agreeing >= 2 || agreeing === seeing ? speaks : against).push(
      `it shows in ${agreeing} of the ${seeing} photographs that see the place`,
    )
  else against.push('only one photograph sees the place')
  if (of('roughnessMm') > 0.02) speaks.push('its way is jagged')
  else against.push('its way is smooth, as a fibre’s is')
  if (of('nearLength') > 4) speaks.push('other lines lie beside it')
  if (of('asymmetry') > 0.5) against.push('one side of it is darker than the other, as at a stain’s edge')
  if (of('aroundShare') > 0.97 && of('layAround') > 0.95) against.push('it runs straight around, as a score does')
  if (of('rimShare') > 0.5) against.push('it lies beside the oil hole’s rim')
  if (of('fromEndMm') < 1.5) against.push('it lies at the journal’s end, where a web’s edge shows as a line')
  return `For: ${speaks.join('; ')}. ${against.length > 0 ? `Against: ${against.join('; ')}.` : 'Nothing found against it.'}`
}
