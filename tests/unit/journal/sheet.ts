/** A small inspection file with something in every field, as a program outside would write it. */
export function sheet() {
  return {
    format: 'throwmark/inspection@1',
    units: 'mm',
    shaft: { id: 'S1', label: 'Test shaft' },
    journals: [
      {
        id: 'P1',
        kind: 'pin',
        diameter: 60,
        width: 40,
        fillets: { front: { form: 'tangent', radius: 2.5, sigma: 0.2 }, rear: { form: 'undercut', width: 3 } },
        oilHoles: [{ id: 'h1', angleDeg: 60, axial: 20, mouthAround: 8, mouthAlong: 10, tiltDeg: 0 }],
        coating: { kind: 'suspected', perSide: 0.1 },
        overheated: false,
        strip: { diameter: 60, toFront: 'front' },
      },
      { id: 'P2', kind: 'main', diameter: 70, width: 35, fillets: { front: { form: 'step' }, rear: { form: 'tangent', radius: 3 } } },
    ],
    photos: [
      {
        id: 'ph1',
        journalId: 'P1',
        width: 4000,
        height: 3000,
        focalPx: 3200,
        k1: 0,
        pickSigmaPx: 0.7,
        handles: {
          sides: [[[1000, 900]], [[1000, 2100]]],
          rings: [
            { at: 'front-fillet', points: [[900, 1500]] },
            { at: 12.5, points: [[1200, 1500]] },
          ],
          oilHoles: [{ id: 'h1', center: [2000, 1500] }],
          clock: [{ angleDeg: 90, axial: 10, point: [1500, 1600] }],
          strip: 'find',
        },
        ignore: [
          [
            [0, 0],
            [10, 0],
            [10, 10],
          ],
        ],
      },
    ],
    marks: [
      {
        id: 'k1',
        journalId: 'P1',
        points: [
          { angleDeg: 12, axial: 9 },
          { angleDeg: 20, axial: 15 },
        ],
        sigmaMm: 0.3,
        note: 'first',
      },
      {
        id: 'k2',
        journalId: 'P1',
        photoId: 'ph1',
        pixels: [
          [1800, 1400],
          [1900, 1450],
        ],
        feel: 'catches',
        seen: ['branches'],
      },
    ],
    sizes: [{ journalId: 'P1', readings: [{ axial: 6, angleDeg: 0, diameter: 59.98 }] }],
    cut: { standard: { pin: [59.98, 60.02] }, ladder: { pin: [0.25, 0.5] }, cleanupPerSide: 0.01, platingPerSide: null },
  }
}
