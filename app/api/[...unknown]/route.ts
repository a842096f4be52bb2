import { AppError } from '@/lib/model/app-error'
import { problemOf, problemResponse } from '@/lib/http/problem'

const unknownRoute = async () =>
  problemResponse(problemOf(new AppError('not-found', 'There is no such route; /api/openapi.json lists those that there are.')))

export { unknownRoute as DELETE, unknownRoute as GET, unknownRoute as PATCH, unknownRoute as POST, unknownRoute as PUT }
