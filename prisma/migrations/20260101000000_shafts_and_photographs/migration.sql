-- CreateTable
CREATE TABLE "Shaft" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "name" TEXT NOT NULL,
    "label" TEXT NOT NULL,
    "cut" TEXT,
    "position" INTEGER NOT NULL,
    "version" INTEGER NOT NULL,
    "createdAt" DATETIME NOT NULL,
    "updatedAt" DATETIME NOT NULL,
    "editedAt" DATETIME NOT NULL,
    "removedAt" DATETIME
);

-- CreateTable
CREATE TABLE "Journal" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "shaftId" TEXT NOT NULL,
    "heldName" TEXT,
    "name" TEXT NOT NULL,
    "document" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "version" INTEGER NOT NULL,
    "updatedAt" DATETIME NOT NULL,
    "removedAt" DATETIME,
    "removedWith" TEXT,
    CONSTRAINT "Journal_shaftId_fkey" FOREIGN KEY ("shaftId") REFERENCES "Shaft" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "PhotoFile" (
    "sha256" TEXT NOT NULL PRIMARY KEY,
    "bytes" INTEGER NOT NULL,
    "mime" TEXT NOT NULL,
    "width" INTEGER NOT NULL,
    "height" INTEGER NOT NULL,
    "focal35Mm" REAL,
    "focalMm" REAL,
    "storedAt" DATETIME NOT NULL
);

-- CreateTable
CREATE TABLE "Photo" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "shaftId" TEXT NOT NULL,
    "journalId" TEXT NOT NULL,
    "fileSha256" TEXT,
    "heldName" TEXT,
    "name" TEXT NOT NULL,
    "document" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "version" INTEGER NOT NULL,
    "updatedAt" DATETIME NOT NULL,
    "removedAt" DATETIME,
    "removedWith" TEXT,
    CONSTRAINT "Photo_shaftId_fkey" FOREIGN KEY ("shaftId") REFERENCES "Shaft" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "Photo_journalId_fkey" FOREIGN KEY ("journalId") REFERENCES "Journal" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "Photo_fileSha256_fkey" FOREIGN KEY ("fileSha256") REFERENCES "PhotoFile" ("sha256") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "Mark" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "shaftId" TEXT NOT NULL,
    "journalId" TEXT NOT NULL,
    "photoId" TEXT,
    "heldName" TEXT,
    "name" TEXT NOT NULL,
    "document" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "version" INTEGER NOT NULL,
    "updatedAt" DATETIME NOT NULL,
    "removedAt" DATETIME,
    "removedWith" TEXT,
    CONSTRAINT "Mark_shaftId_fkey" FOREIGN KEY ("shaftId") REFERENCES "Shaft" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "Mark_journalId_fkey" FOREIGN KEY ("journalId") REFERENCES "Journal" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "Mark_photoId_fkey" FOREIGN KEY ("photoId") REFERENCES "Photo" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "Sizes" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "shaftId" TEXT NOT NULL,
    "journalId" TEXT NOT NULL,
    "document" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "version" INTEGER NOT NULL,
    "updatedAt" DATETIME NOT NULL,
    "removedAt" DATETIME,
    "removedWith" TEXT,
    CONSTRAINT "Sizes_shaftId_fkey" FOREIGN KEY ("shaftId") REFERENCES "Shaft" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "Sizes_journalId_fkey" FOREIGN KEY ("journalId") REFERENCES "Journal" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateIndex
CREATE INDEX "Shaft_removedAt_editedAt_idx" ON "Shaft"("removedAt", "editedAt");

-- CreateIndex
CREATE INDEX "Journal_shaftId_position_idx" ON "Journal"("shaftId", "position");

-- CreateIndex
CREATE UNIQUE INDEX "Journal_shaftId_heldName_key" ON "Journal"("shaftId", "heldName");

-- CreateIndex
CREATE INDEX "Photo_shaftId_position_idx" ON "Photo"("shaftId", "position");

-- CreateIndex
CREATE INDEX "Photo_journalId_idx" ON "Photo"("journalId");

-- CreateIndex
CREATE INDEX "Photo_fileSha256_idx" ON "Photo"("fileSha256");

-- CreateIndex
CREATE UNIQUE INDEX "Photo_shaftId_heldName_key" ON "Photo"("shaftId", "heldName");

-- CreateIndex
CREATE INDEX "Mark_shaftId_position_idx" ON "Mark"("shaftId", "position");

-- CreateIndex
CREATE INDEX "Mark_journalId_idx" ON "Mark"("journalId");

-- CreateIndex
CREATE INDEX "Mark_photoId_idx" ON "Mark"("photoId");

-- CreateIndex
CREATE UNIQUE INDEX "Mark_shaftId_heldName_key" ON "Mark"("shaftId", "heldName");

-- CreateIndex
CREATE INDEX "Sizes_shaftId_position_idx" ON "Sizes"("shaftId", "position");

-- CreateIndex
CREATE INDEX "Sizes_journalId_idx" ON "Sizes"("journalId");
