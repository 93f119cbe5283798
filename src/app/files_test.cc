#include "app/files.h"

#include "app/test_program.h"

namespace lastreach {
namespace {

using Files = InAFolder;

TEST_F(Files, ReadsEveryByte) {
  const std::string bytes("a\r\nb\0c\n", 7);
  EXPECT_EQ(*ReadFile(Write("some.bin", bytes)), bytes);
  EXPECT_EQ(*ReadFile(Write("empty", "")), "");
}

TEST_F(Files, NamesTheOneThatCannotBeRead) {
  for (const std::string& path : {Path("nowhere.json"), Path("")}) {
    const Result<std::string> read = ReadFile(path);
    ASSERT_FALSE(read.ok());
    EXPECT_EQ(read.error().place.file, path);
    EXPECT_EQ(ExitCodeOf(read.error().code), 2);
  }
}

TEST_F(Files, MakesAFolderAndThoseAboveIt) {
  EXPECT_TRUE(MakeFolder(Path("a/b/c")).ok());
  EXPECT_TRUE(std::filesystem::is_directory(Path("a/b/c")));
  EXPECT_TRUE(MakeFolder(Path("a/b/c")).ok()) << "again is no fault";
}

TEST_F(Files, NamesTheFolderThatCannotBeMade) {
  Write("file", "in the way");
  for (const char* name : {"file", "file/below"}) {
    const Status made = MakeFolder(Path(name));
    ASSERT_FALSE(made.ok()) << name;
    EXPECT_EQ(made.error().place.file, Path(name));
  }
}

}  // namespace
}  // namespace lastreach
