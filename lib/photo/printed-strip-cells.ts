/** Black and white cells of the strip's codes: the dictionary ARUCO_MIP_36h12 as js-aruco2 carries it. */
import aruco from 'js-aruco2'
import { cellsPerSide } from './printed-strip-design'

/** Cells of a code, row by row from its top left: true where white. The border is black. */
export function markerCells(id: number): boolean[][] {
  const bits = codeBits(id)
  const inner = cellsPerSide - 2
  return Array.from({ length: cellsPerSide }, (_, row) =>
    Array.from({ length: cellsPerSide }, (_, column) => {
      const border = row === 0 || column === 0 || row === cellsPerSide - 1 || column === cellsPerSide - 1
      return !border && bits[(row - 1) * inner + column - 1] === '1'
    }),
  )
}

/** Name of the dictionary in js-aruco2. */
export const stripDictionary = 'ARUCO_MIP_36h12'

function codeBits(id: number): string {
  const { codeList, nBits } = aruco.AR.DICTIONARIES[stripDictionary]
  return codeList[id].toString(2).padStart(nBits, '0')
}
