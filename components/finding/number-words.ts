/** A mark's numbers in one line, each with its unit and ± (95 %): "44.2° ± 1.1° to the shaft". */
import type { Units } from '@/lib/model/inspection'
import type { MarkFinding } from '@/lib/model/findings'
import { formatAngle, formatLength, formatMeasured, formatMeasuredAngle } from '@/lib/model/units'

/** Null where a number is not known; a patch has no angle. */
export function numberWords(finding: MarkFinding, units: Units): { angle: string | null; fillet: string | null; hole: string | null } {
  const { angleToAxisDeg, filletNearestMm, oilHoles, sigma } = finding
  const hole = oilHoles?.reduce<number | null>((best, { distanceMm }) => Math.min(best ?? distanceMm, distanceMm), null) ?? null
  const length = (mm: number, sigmaMm: number | null) => (sigmaMm === null ? formatLength(mm, units) : formatMeasured(mm, sigmaMm, units))
  return {
    angle:
      angleToAxisDeg === null
        ? null
        : `${sigma.angleDeg === null ? formatAngle(angleToAxisDeg) : formatMeasuredAngle(angleToAxisDeg, sigma.angleDeg)} to the shaft`,
    fillet:
      filletNearestMm === null
        ? null
        : filletNearestMm === 0
          ? 'in the fillet'
          : `${length(filletNearestMm, sigma.filletMm)} from a fillet`,
    hole: hole === null ? null : hole === 0 ? 'at the oil hole' : `${length(hole, sigma.oilHoleMm)} from the oil hole`,
  }
}
