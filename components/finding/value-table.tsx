'use client'
/** The numbers of a mark, each with unit and plus-minus of 95 %. */
import { useUnits } from '@/components/ui/preferences'
import type { MarkFinding } from '@/lib/model/findings'
import type { Units } from '@/lib/model/inspection'
import { formatMeasured, formatMeasuredAngle } from '@/lib/model/units'
import styles from './finding-tag.module.css'

export type Reading = { name: string; value: string; plusMinus: string; unit: string }

export function ValueTable({ finding }: { finding: MarkFinding }) {
  const units = useUnits()
  return (
    <table className={styles.values}>
      <tbody>
        {readings(finding, units).map(({ name, value, plusMinus, unit }) => (
          <tr key={name}>
            <th scope="row">{name}</th>
            <td>
              <b>{value}</b> <span className="unit">{plusMinus ? `± ${plusMinus}${unit === '°' ? '°' : ` ${unit}`}` : unit}</span>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

/** Angle to the shaft, distance to the nearer fillet, distance to the nearest oil hole, length: where a number is not known, why. */
export function readings(finding: MarkFinding, units: Units): Reading[] {
  const { sigma } = finding
  const nearest = finding.oilHoles?.reduce<{ distanceMm: number } | null>(
    (best, hole) => (best && best.distanceMm <= hole.distanceMm ? best : hole),
    null,
  )
  const end =
    finding.filletFrontMm !== null && finding.filletRearMm !== null
      ? finding.filletFrontMm <= finding.filletRearMm
        ? 'front'
        : 'rear'
      : null
  return [
    finding.angleToAxisDeg === null
      ? unknown('Angle to the shaft', finding.shape === 'area' ? 'a patch has none' : 'not known')
      : split('Angle to the shaft', formatMeasuredAngle(finding.angleToAxisDeg, sigma.angleDeg ?? 0), '°'),
    finding.filletNearestMm === null
      ? unknown(end ? `To the ${end} fillet` : 'To the fillet', 'not known')
      : split(end ? `To the ${end} fillet` : 'To the fillet', formatMeasured(finding.filletNearestMm, sigma.filletMm ?? 0, units), units),
    ...(finding.oilHoles === null
      ? [unknown('To the oil hole', 'not known')]
      : nearest
        ? [split('To the oil hole', formatMeasured(nearest.distanceMm, sigma.oilHoleMm ?? 0, units), units)]
        : []),
    ...(finding.lengthMm === null
      ? []
      : [
          split(
            finding.shape === 'area' ? 'Around its outline' : 'Length',
            formatMeasured(finding.lengthMm, sigma.lengthMm ?? 0, units),
            units,
          ),
        ]),
  ]
}

function split(name: string, text: string, unit: string): Reading {
  const [value = '', rest = ''] = text.split(' ± ')
  return { name, value, plusMinus: rest.replace(unit === '°' ? '°' : ` ${unit}`, ''), unit }
}

function unknown(name: string, why: string): Reading {
  return { name, value: '–', plusMinus: '', unit: why }
}
