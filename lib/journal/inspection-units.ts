/** An inspection with every length in mm. `sigmaMm` and `gapMm` are mm in any file, as their names say. */
import type { Inspection, InspectionMm } from '../model/inspection'
import type { Journal, JournalEnd } from '../model/journal'
import type { Photo } from '../model/photo'

/** Exact by definition (international inch, 1959). */
export const mmPerInch = 25.4

export function inMillimetres(inspection: Inspection): InspectionMm {
  if (inspection.units === 'mm') return { ...inspection, units: 'mm' }
  const { cut } = inspection
  return {
    ...inspection,
    units: 'mm',
    journals: inspection.journals.map(journalInMm),
    photos: inspection.photos.map(photoInMm),
    marks: inspection.marks.map((mark) => ({
      ...mark,
      points: mark.points?.map((p) => ('s' in p ? { angleDeg: p.angleDeg, s: mm(p.s) } : { angleDeg: p.angleDeg, axial: mm(p.axial) })),
    })),
    sizes: inspection.sizes.map((row) => ({
      ...row,
      readings: row.readings.map((r) => ({ ...r, axial: mm(r.axial), diameter: mm(r.diameter) })),
    })),
    cut: cut && {
      standard: { pin: pair(cut.standard.pin), main: pair(cut.standard.main) },
      ladder: { pin: cut.ladder.pin?.map(mm), main: cut.ladder.main?.map(mm) },
      cleanupPerSide: cut.cleanupPerSide === undefined ? undefined : mm(cut.cleanupPerSide),
      platingPerSide: orNull(cut.platingPerSide),
    },
  }
}

function journalInMm(journal: Journal): Journal {
  return {
    ...journal,
    diameter: mm(journal.diameter),
    width: mm(journal.width),
    fillets: { front: endInMm(journal.fillets.front), rear: endInMm(journal.fillets.rear) },
    oilHoles: journal.oilHoles.map((hole) => ({
      ...hole,
      axial: mm(hole.axial),
      mouthAround: mm(hole.mouthAround),
      mouthAlong: mm(hole.mouthAlong),
    })),
    coating: { ...journal.coating, perSide: orNull(journal.coating.perSide) },
    strip: journal.strip && {
      ...journal.strip,
      diameter: mm(journal.strip.diameter),
      thickness: journal.strip.thickness === undefined ? undefined : mm(journal.strip.thickness),
      frontEdge: orNull(journal.strip.frontEdge),
    },
  }
}

function endInMm(end: JournalEnd): JournalEnd {
  if (end.form === 'tangent') return { ...end, radius: mm(end.radius), ...(end.sigma === undefined ? {} : { sigma: mm(end.sigma) }) }
  return end.form === 'undercut' ? { ...end, width: mm(end.width) } : end
}

function photoInMm(photo: Photo): Photo {
  return {
    ...photo,
    handles: {
      ...photo.handles,
      rings: photo.handles.rings.map((ring) => (typeof ring.at === 'number' ? { ...ring, at: mm(ring.at) } : ring)),
      clock: photo.handles.clock.map((clock) => ({ ...clock, axial: mm(clock.axial) })),
    },
  }
}

function mm(length: number): number {
  return length * mmPerInch
}

function orNull(length: number | null): number | null {
  return length === null ? null : mm(length)
}

function pair(range: [number, number] | undefined): [number, number] | undefined {
  return range && [mm(range[0]), mm(range[1])]
}
