/** The parts of js-aruco2 2.0.0 that are used; it ships no types. */
declare module 'js-aruco2' {
  export type ArucoImage = { width: number; height: number; data: ArrayLike<number> }
  export type ArucoMarker = { id: number; corners: { x: number; y: number }[]; hammingDistance: number }
  const aruco: {
    AR: {
      DICTIONARIES: Record<string, { nBits: number; tau: number; codeList: number[] }>
      Detector: new (config: {
        dictionaryName: string
        maxHammingDistance: number
      }) => {
        /** RGBA, 8 bits a channel. Corners at the centres of pixels, the first one's at 0, 0. */
        detectImage(width: number, height: number, data: ArrayLike<number>): ArucoMarker[]
      }
    }
  }
  export default aruco
}
