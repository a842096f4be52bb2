import { describe, expect, it } from 'vitest'
import { readInspection, readInspectionText } from '../../../lib/journal/read-inspection'
import { sheet } from './sheet'

// biome-ignore lint/suspicious/noExplicitAny: each case damages the document in its own way
type Loose = any

/** The paths of the faults of a document that was damaged. */
function faultsOf(damage: (doc: Loose) => void): string[] {
  const doc = sheet()
  damage(doc)
  const read = readInspection(doc)
  if (read.ok) return []
  for (const { fault, remedy } of read.reason) {
    expect(fault.length).toBeGreaterThan(3)
    expect(remedy.length).toBeGreaterThan(3)
  }
  return read.reason.map(({ path }) => path)
}

describe('a whole inspection file', () => {
  it('is read as it stands, with what was left out filled in', () => {
    expect(faultsOf(() => {})).toEqual([])
    const read = readInspection({
      format: 'throwmark/inspection@1',
      units: 'mm',
      shaft: { id: 'S1' },
      journals: [{ id: 'P1', kind: 'pin', diameter: 50, width: 30, fillets: { front: { form: 'step' }, rear: { form: 'step' } } }],
    })
    if (!read.ok) throw new Error(JSON.stringify(read.reason))
    expect(read.value).toMatchObject({ photos: [], marks: [], sizes: [] })
    expect(read.value.journals[0]).toMatchObject({ oilHoles: [], coating: { kind: 'unknown', perSide: null }, overheated: false })
  })

  it('keeps the fields of commands that come later', () => {
    const read = readInspection(sheet())
    if (!read.ok) throw new Error('refused')
    expect(read.value.cut?.cleanupPerSide).toBe(0.01)
    expect(read.value.sizes[0].readings).toHaveLength(1)
    expect(read.value.journals[0].strip?.toFront).toBe('front')
    expect(read.value.photos[0].handles.strip).toBe('find')
  })
})

describe('refused with its JSON path', () => {
  const unknownKeys: [string, (doc: Loose) => void][] = [
    ['$.colour', (d) => Object.assign(d, { colour: 1 })],
    ['$.shaft.name', (d) => Object.assign(d.shaft, { name: 'x' })],
    ['$.journals[0].radius', (d) => Object.assign(d.journals[0], { radius: 2 })],
    ['$.journals[0].fillets.middle', (d) => Object.assign(d.journals[0].fillets, { middle: 1 })],
    ['$.journals[0].fillets.front.width', (d) => Object.assign(d.journals[0].fillets.front, { width: 1 })],
    ['$.journals[0].oilHoles[0].depth', (d) => Object.assign(d.journals[0].oilHoles[0], { depth: 1 })],
    ['$.journals[0].coating.maker', (d) => Object.assign(d.journals[0].coating, { maker: 'x' })],
    ['$.journals[0].strip.length', (d) => Object.assign(d.journals[0].strip, { length: 1 })],
    ['$.photos[0].lens', (d) => Object.assign(d.photos[0], { lens: 1 })],
    ['$.photos[0].handles.edges', (d) => Object.assign(d.photos[0].handles, { edges: [] })],
    ['$.photos[0].handles.rings[0].name', (d) => Object.assign(d.photos[0].handles.rings[0], { name: 'x' })],
    ['$.photos[0].handles.oilHoles[0].size', (d) => Object.assign(d.photos[0].handles.oilHoles[0], { size: 1 })],
    ['$.photos[0].handles.clock[0].hour', (d) => Object.assign(d.photos[0].handles.clock[0], { hour: 3 })],
    ['$.marks[0].colour', (d) => Object.assign(d.marks[0], { colour: 1 })],
    ['$.sizes[0].tool', (d) => Object.assign(d.sizes[0], { tool: 'x' })],
    ['$.sizes[0].readings[0].by', (d) => Object.assign(d.sizes[0].readings[0], { by: 'x' })],
    ['$.cut.price', (d) => Object.assign(d.cut, { price: 1 })],
    ['$.cut.standard.thrust', (d) => Object.assign(d.cut.standard, { thrust: [1, 2] })],
  ]
  it.each(unknownKeys)('an unknown key at %s', (path, damage) => {
    expect(faultsOf(damage)).toEqual([path])
  })

  it('an unknown key in a point of a mark', () => {
    expect(faultsOf((d) => Object.assign(d.marks[0].points[1], { z: 1 }))).toEqual(['$.marks[0].points[1].z'])
  })

  const notFinite: [string, (doc: Loose, bad: number) => void][] = [
    ['$.journals[0].diameter', (d, bad) => (d.journals[0].diameter = bad)],
    ['$.journals[0].oilHoles[0].angleDeg', (d, bad) => (d.journals[0].oilHoles[0].angleDeg = bad)],
    ['$.photos[0].handles.sides[1][0][1]', (d, bad) => (d.photos[0].handles.sides[1][0][1] = bad)],
    ['$.marks[0].points[0].angleDeg', (d, bad) => (d.marks[0].points[0].angleDeg = bad)],
    ['$.marks[1].pixels[1][0]', (d, bad) => (d.marks[1].pixels[1][0] = bad)],
    ['$.sizes[0].readings[0].diameter', (d, bad) => (d.sizes[0].readings[0].diameter = bad)],
  ]
  it.each(notFinite)('a number that is not finite at %s', (path, damage) => {
    for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])
      expect(faultsOf((d) => damage(d, bad))).toEqual([path])
    // 1e999 is how JSON can say infinity
    const text = JSON.stringify(sheet(), (_, value) => value)
    expect(readInspectionText(text.replace('"diameter":60', '"diameter":1e999')).ok).toBe(false)
  })

  const geometry: [string, string, (doc: Loose) => void][] = [
    ['a journal narrower than its ends', '$.journals[1].width', (d) => (d.journals[1].width = 2.9)],
    ['a diameter of zero', '$.journals[0].diameter', (d) => (d.journals[0].diameter = 0)],
    ['a negative fillet radius', '$.journals[0].fillets.front.radius', (d) => (d.journals[0].fillets.front.radius = -1)],
    ['a negative sigma of the radius', '$.journals[0].fillets.front.sigma', (d) => (d.journals[0].fillets.front.sigma = -0.1)],
    ['an undercut without width', '$.journals[0].fillets.rear.width', (d) => delete d.journals[0].fillets.rear.width],
    ['an end of another form', '$.journals[0].fillets.rear.form', (d) => (d.journals[0].fillets.rear = { form: 'groove', width: 3 })],
    ['a hole whose centre lies before the front cheek', '$.journals[0].oilHoles[0].axial', (d) => (d.journals[0].oilHoles[0].axial = -0.1)],
    ['a hole whose centre lies past the rear cheek', '$.journals[0].oilHoles[0].axial', (d) => (d.journals[0].oilHoles[0].axial = 40.1)],
    ['a mark past the rear cheek', '$.marks[0].points[1].axial', (d) => (d.marks[0].points[1].axial = 40.01)],
    ['a mark before the front cheek', '$.marks[0].points[0].axial', (d) => (d.marks[0].points[0].axial = -0.01)],
    [
      'a mark past the end of the arc',
      '$.marks[0].points[0].s',
      (d) =>
        (d.marks[0].points = [
          { angleDeg: 0, s: 42 },
          { angleDeg: 1, s: 3 },
        ]),
    ],
    ['a point given by axial and s', '$.marks[0].points[0].s', (d) => (d.marks[0].points[0].s = 3)],
    ['vertices 180 degrees apart', '$.marks[0].points[1].angleDeg', (d) => (d.marks[0].points[1].angleDeg = 192)],
    ['a reading off the journal', '$.sizes[0].readings[0].axial', (d) => (d.sizes[0].readings[0].axial = 41)],
    ['a ring off the journal', '$.photos[0].handles.rings[1].at', (d) => (d.photos[0].handles.rings[1].at = 41)],
    ['a witness mark off the journal', '$.photos[0].handles.clock[0].axial', (d) => (d.photos[0].handles.clock[0].axial = -1)],
    ['a standard range that runs backwards', '$.cut.standard.pin', (d) => (d.cut.standard.pin = [60.02, 59.98])],
  ]
  it.each(geometry)('%s', (_, path, damage) => {
    expect(faultsOf(damage)).toEqual([path])
  })

  const ids: [string, string, (doc: Loose) => void][] = [
    ['a photo of an unknown journal', '$.photos[0].journalId', (d) => (d.photos[0].journalId = 'P9')],
    ['a mark on an unknown journal', '$.marks[0].journalId', (d) => (d.marks[0].journalId = 'P9')],
    ['a mark in an unknown photo', '$.marks[1].photoId', (d) => (d.marks[1].photoId = 'ph9')],
    ['readings of an unknown journal', '$.sizes[0].journalId', (d) => (d.sizes[0].journalId = 'P9')],
    ['a picked hole that the journal has not', '$.photos[0].handles.oilHoles[0].id', (d) => (d.photos[0].handles.oilHoles[0].id = 'h9')],
    ['a journal id used twice', '$.journals[1].id', (d) => (d.journals[1].id = 'P1')],
    ['a photo id used twice', '$.photos[1].id', (d) => d.photos.push({ ...d.photos[0] })],
    ['a mark id used twice', '$.marks[1].id', (d) => (d.marks[1].id = 'k1')],
    [
      'a hole id used twice on a journal',
      '$.journals[0].oilHoles[1].id',
      (d) => d.journals[0].oilHoles.push({ ...d.journals[0].oilHoles[0] }),
    ],
    ['sizes of a journal given twice', '$.sizes[1].journalId', (d) => d.sizes.push({ ...d.sizes[0] })],
    ['a mark on one journal in a photo of another', '$.marks[1].photoId', (d) => (d.marks[1].journalId = 'P2')],
    ['an empty id', '$.journals[0].id', (d) => (d.journals[0].id = '')],
  ]
  it.each(ids)('%s', (_, path, damage) => {
    expect(faultsOf(damage)).toContain(path)
  })

  const marks: [string, string, (doc: Loose) => void][] = [
    ['drawn on the map and on a photo', '$.marks[0]', (d) => Object.assign(d.marks[0], { photoId: 'ph1', pixels: d.marks[1].pixels })],
    ['drawn nowhere', '$.marks[0]', (d) => delete d.marks[0].points],
    ['with pixels and no photo', '$.marks[1].photoId', (d) => delete d.marks[1].photoId],
    ['with a photo and no pixels', '$.marks[1].pixels', (d) => delete d.marks[1].pixels],
    ['a line of one point', '$.marks[0].points', (d) => d.marks[0].points.pop()],
    ['an area of two points', '$.marks[0].points', (d) => (d.marks[0].shape = 'area')],
    ['of another shape', '$.marks[0].shape', (d) => (d.marks[0].shape = 'circle')],
    ['seen where nothing is', '$.marks[0].seen[0]', (d) => (d.marks[0].seen = ['keyway'])],
    ['felt otherwise', '$.marks[0].feel', (d) => (d.marks[0].feel = 'rough')],
    ['named otherwise', '$.marks[0].named', (d) => (d.marks[0].named = 'crack')],
    ['with a negative sigma', '$.marks[0].sigmaMm', (d) => (d.marks[0].sigmaMm = -1)],
  ]
  it.each(marks)('a mark %s', (_, path, damage) => {
    expect(faultsOf(damage)).toEqual([path])
  })

  it('an area whose outline closes over 180 degrees or more', () => {
    const outline = [0, 120, 240].map((angleDeg) => ({ angleDeg, axial: 20 }))
    expect(faultsOf((d) => Object.assign(d.marks[0], { shape: 'area', points: outline }))).toEqual(['$.marks[0].points[0].angleDeg'])
  })

  it('another format, other units, a list, and a text that is no JSON', () => {
    expect(faultsOf((d) => (d.format = 'throwmark/inspection@2'))).toEqual(['$.format'])
    expect(faultsOf((d) => (d.units = 'cm'))).toEqual(['$.units'])
    expect(faultsOf((d) => delete d.journals)).toEqual(['$.journals'])
    expect(readInspection([]).ok).toBe(false)
    const read = readInspectionText('{"format": ')
    expect(read.ok ? [] : read.reason.map((f) => f.path)).toEqual(['$'])
  })

  it('all its faults at once, each with its own path', () => {
    const paths = faultsOf((d) => {
      d.journals[0].oilHoles[0].axial = 99
      d.marks[0].points[0].axial = 99
      d.marks[1].photoId = 'ph9'
    })
    expect(paths).toEqual(['$.journals[0].oilHoles[0].axial', '$.marks[0].points[0].axial', '$.marks[1].photoId'])
  })

  it('but a mark that ends on the cheek, runs past 360 or starts below zero is read', () => {
    expect(
      faultsOf(
        (d) =>
          (d.marks[0].points = [
            { angleDeg: -1e-17, axial: 0 },
            { angleDeg: 179.9, axial: 40 },
            { angleDeg: 359, axial: 3 },
            { angleDeg: 500, axial: 3 },
          ]),
      ),
    ).toEqual([])
  })
})
