import { fileURLToPath } from 'node:url'

const development = process.env.NODE_ENV === 'development'

/** Everything comes from here; inline scripts and styles are the framework's own. WebAssembly and eval in development alone differ. */
const contentSecurityPolicy = [
  "default-src 'self'",
  `script-src 'self' 'unsafe-inline' 'wasm-unsafe-eval'${development ? " 'unsafe-eval'" : ''}`,
  "style-src 'self' 'unsafe-inline'",
  "img-src 'self' blob: data:",
  "font-src 'self'",
  "connect-src 'self'",
  "worker-src 'self' blob:",
  "object-src 'none'",
  "base-uri 'self'",
  "form-action 'self'",
  "frame-ancestors 'none'",
].join('; ')

/** @type {import('next').NextConfig} */
export default {
  distDir: process.env.THROWMARK_DIST?.trim() || '.next',
  poweredByHeader: false,
  reactStrictMode: true,
  devIndicators: false,
  outputFileTracingRoot: fileURLToPath(new URL('.', import.meta.url)),
  // `npm run check` reads the types, in a fraction of the time.
  typescript: { ignoreBuildErrors: true },
  serverExternalPackages: [
    '@libsql/client',
    'libsql',
    '@prisma/adapter-libsql',
    '@prisma/client',
    'sharp',
    'heic-decode',
    'exif-reader',
    'pdfkit',
  ],
  headers: async () => [
    {
      source: '/:path*',
      headers: [
        { key: 'Content-Security-Policy', value: contentSecurityPolicy },
        // Shared memory between the page and its workers asks for these two.
        { key: 'Cross-Origin-Opener-Policy', value: 'same-origin' },
        { key: 'Cross-Origin-Embedder-Policy', value: 'require-corp' },
        { key: 'Cross-Origin-Resource-Policy', value: 'same-origin' },
        { key: 'X-Content-Type-Options', value: 'nosniff' },
        { key: 'Referrer-Policy', value: 'same-origin' },
      ],
    },
  ],
}
