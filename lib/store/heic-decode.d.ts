declare module 'heic-decode' {
  export default function heicDecode(options: { buffer: Uint8Array }): Promise<{ width: number; height: number; data: Uint8ClampedArray }>
}
