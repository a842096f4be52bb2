/** Where readings stand on a journal. */
import { describe, expect, it } from 'vitest'
import { anglesFor, placedReadings, placeKey, stationAxial, twoAngles, withReading } from '../../../components/sizes/reading-grid'
import { journalSchema } from '../../../lib/model/journal'

const pin = journalSchema.parse({
  id: 'P1',
  kind: 'pin',
  diameter: 73.5,
  width: 40,
  fillets: { front: { form: 'tangent', radius: 4 }, rear: { form: 'step' } },
})
const at = (axial: number, angleDeg: number, diameter = 73.5) => ({ axial, angleDeg, diameter })

describe('the grid of readings', () => {
  it('has its stations on the cylinder, between the tangent lines', () => {
    expect(stationAxial(pin, 'front')).toBeCloseTo(4 + 0.12 * 36, 1)
    expect(stationAxial(pin, 'middle')).toBeCloseTo(22, 9)
    expect(stationAxial(pin, 'rear')).toBeCloseTo(40 - 0.12 * 36, 1)
  })

  it('takes a reading at 180° for the one across 0°, and one at 359.8° too', () => {
    expect([...placedReadings(pin, [at(8, 180)], twoAngles).byPlace.keys()]).toEqual(['front 0'])
    expect([...placedReadings(pin, [at(8, 359.8)], twoAngles).byPlace.keys()]).toEqual(['front 0'])
  })

  it('loses no reading: what has no place stands beside the grid', () => {
    const readings = [at(8, 0), at(9, 0), at(20, 30), at(35, 270)]
    const { byPlace, others } = placedReadings(pin, readings, twoAngles)
    expect([...byPlace.keys()]).toEqual(['front 0', 'rear 90'])
    expect(others).toEqual([readings[1], readings[2]])
  })

  it('sets a reading anew where it was taken, and takes it out', () => {
    const place = { station: 'front', angleDeg: 0 } as const
    const set = withReading(pin, [at(9.1, 180, 73.4)], twoAngles, place, 73.45)
    expect(set).toEqual([at(9.1, 180, 73.45)])
    expect(withReading(pin, set, twoAngles, place, null)).toEqual([])
    const fresh = withReading(pin, [], twoAngles, { station: 'rear', angleDeg: 90 }, 73.4)
    expect(placedReadings(pin, fresh, twoAngles).byPlace.get(placeKey({ station: 'rear', angleDeg: 90 }))?.diameter).toBe(73.4)
  })

  it('opens four angles where a reading needs them', () => {
    expect(anglesFor([{ journalId: 'P1', readings: [at(8, 0), at(8, 90)] }])).toHaveLength(2)
    expect(anglesFor([{ journalId: 'P1', readings: [at(8, 225)] }])).toHaveLength(4)
  })
})
