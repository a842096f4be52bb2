/** The OpenAPI 3.1 document, made from the catalogue of routes and the schemas of the documents. */
import { z } from 'zod'
import { catalogue } from './catalogue'
import type { Answer, Endpoint } from './endpoint'
import { problemSchema } from './problem'

export function openApiDocument(): Record<string, unknown> {
  const paths: Record<string, Record<string, unknown>> = {}
  for (const endpoint of endpointsOf(catalogue)) {
    paths[endpoint.path] = { ...paths[endpoint.path], [endpoint.method.toLowerCase()]: operationOf(endpoint) }
  }
  return {
    openapi: '3.1.0',
    info: {
      title: 'Throwmark',
      version: '1',
      description:
        'Shafts, their journals, photographs and marks. Lengths in mm, angles in degrees; every write of a row carries its version.',
    },
    servers: [{ url: '/' }],
    paths,
    components: { schemas: { Problem: schemaOf(problemSchema, 'output') } },
  }
}

/** Every endpoint of the catalogue, groups flattened. */
function endpointsOf(group: object): Endpoint[] {
  return Object.values(group).flatMap((entry: Endpoint | object) => ('method' in entry ? [entry as Endpoint] : endpointsOf(entry)))
}

function operationOf(endpoint: Endpoint) {
  const bodySchema = endpoint.body instanceof z.ZodUndefined ? null : schemaOf(endpoint.body, 'input')
  const content = endpoint.rawBody
    ? Object.fromEntries(endpoint.rawBody.map((type) => [type, {}]))
    : bodySchema && { 'application/json': { schema: bodySchema } }
  return {
    operationId: `${endpoint.method.toLowerCase()} ${endpoint.path}`.replace(/[^A-Za-z0-9]+/g, '-').replace(/-$/, ''),
    summary: endpoint.summary,
    parameters: [
      ...parametersOf(endpoint.params, 'path'),
      ...parametersOf(endpoint.query, 'query'),
      ...(endpoint.ifMatch ? [ifMatch] : []),
    ],
    ...(content && { requestBody: { required: true, content } }),
    responses: {
      ...Object.fromEntries(endpoint.answers.map((answer) => [answer.status, responseOf(answer)])),
      default: {
        description: 'refused',
        content: { 'application/problem+json': { schema: { $ref: '#/components/schemas/Problem' } } },
      },
    },
  }
}

const ifMatch = {
  name: 'If-Match',
  in: 'header',
  required: true,
  description: 'The version of the row, as its ETag gave it; 412 with the row as it stands when it is an older one.',
  schema: { type: 'string', examples: ['"3"'] },
}

function parametersOf(schema: z.ZodType, place: 'path' | 'query') {
  const { properties = {}, required = [] } = schemaOf(schema, 'input') as { properties?: Record<string, object>; required?: string[] }
  return Object.entries(properties).map(([name, one]) => ({
    name,
    in: place,
    required: place === 'path' || required.includes(name),
    schema: one,
  }))
}

function responseOf({ description, schema, mediaTypes }: Answer) {
  if (mediaTypes) return { description, content: Object.fromEntries(mediaTypes.map((type) => [type, {}])) }
  return { description, ...(schema && { content: { 'application/json': { schema: schemaOf(schema, 'output') } } }) }
}

function schemaOf(schema: z.ZodType, io: 'input' | 'output'): Record<string, unknown> {
  const { $schema: _, ...rest } = z.toJSONSchema(schema, { io, unrepresentable: 'any' })
  return rest
}
