// Folders and files: read whole, or said what is wrong with which; and every folder of tables of this project.

#include <gtest/gtest.h>
#include <sys/stat.h>

#include <filesystem>
#include <fstream>
#include <string>
#include <variant>
#include <vector>

#include "documents/sound.h"
#include "tarewise/documents/load.h"
#include "tarewise/tariff/price.h"

namespace tarewise::folder_test {
namespace {

using namespace documents_test;  // NOLINT(google-build-using-namespace)

// ---- folders ----

class Folder : public ::testing::Test {
 protected:
  void SetUp() override {
    path_ = std::filesystem::path(::testing::TempDir()) /
            ("tarewise-load-" + std::string(::testing::UnitTest::GetInstance()->current_test_info()->name()));
    std::filesystem::remove_all(path_);
    std::filesystem::create_directories(path_);
  }
  void TearDown() override { std::filesystem::remove_all(path_); }
  void Write(const std::string& name, const std::string& text) {
    std::ofstream(path_ / name, std::ios::binary) << text;
  }
  std::filesystem::path path_;
};

TEST_F(Folder, IsReadWhole) {
  Write("a.json",
        OneService(R"("prices": [{"table": {"by": "weight", "unit": "lb", "csv": "ground.csv"}}], "mode": "surface")"));
  Write("ground.csv", "bound,1,2\n1,3.62,3.75\n");
  Write("terms.json", R"({"format": "tarewise-terms-1", "carrier": "harbourline", "in_force": {"from": "2026-07-12"},
    "discounts": [{"services": ["ground"], "percent": 5, "of": ["base"]}]})");
  Write("gazetteer-us.csv", "country,prefix,latitude,longitude\nUS,054,44,-73\n");
  Write("gazetteer-eu.csv", "country,prefix,latitude,longitude\nFR,75,48.8,2.3\n");
  Write("shelf.csv", "code,title,kind,inside,tare,cost,currency\nbag,Bag,mailer,9 x 12 in,1 oz,0.30,USD\n");
  Write("shelf-more.json", R"({"format": "tarewise-shelf-1", "packaging": [
    {"code": "bag-2", "title": "Bag", "kind": "mailer", "inside": "9 x 12 in", "tare": "1 oz", "cost": 0}]})");
  Write("mine.json", R"({"format": "tarewise-seller-1", "currency": "USD",
    "avoid": [{"services": ["harbourline/ground"], "when": {"packaging": {"is": "bag-2"}}, "reason": "it tears"}]})");
  Write("notes.txt", "not a table");
  Write("orders.csv", "not a table either");
  const Loaded<Tables> loaded = ReadFolder(path_.string());
  ASSERT_TRUE(loaded.ok()) << Lines(loaded.diagnostics);
  EXPECT_EQ(Lines(loaded.diagnostics), "");
  EXPECT_EQ(loaded.value->tariffs.size(), 1u);
  EXPECT_EQ(loaded.value->tariffs[0].file, (path_ / "a.json").string());
  EXPECT_EQ(loaded.value->terms.size(), 1u);
  EXPECT_EQ(loaded.value->gazetteer.size(), 2u);
  EXPECT_TRUE(loaded.value->gazetteer.Find(At("FR", "75001")).has_value()) << "ready for look-ups";
  ASSERT_TRUE(loaded.value->shelf.has_value());
  EXPECT_EQ(loaded.value->shelf->own.size(), 2u) << "several shelves are one";
  ASSERT_TRUE(loaded.value->seller.has_value());
  EXPECT_EQ(loaded.value->seller->file, (path_ / "mine.json").string());
  EXPECT_EQ(Lines(CheckTables(*loaded.value)), "");
}

TEST_F(Folder, WithoutAShelfHasNone) {
  Write("a.json", OneService(R"("prices": [{"amount": 5}])"));
  const Loaded<Tables> loaded = ReadFolder(path_.string());
  ASSERT_TRUE(loaded.ok());
  EXPECT_FALSE(loaded.value->shelf.has_value());
}

TEST_F(Folder, GivesNothingWhereOneDocumentIsBroken) {
  Write("a.json", OneService(R"("prices": [{"amount": 5}], "mode": "surface")"));
  Write("b.json", "{");
  const Loaded<Tables> loaded = ReadFolder(path_.string() + "/");
  EXPECT_FALSE(loaded.ok());
  EXPECT_EQ(Lines(loaded.diagnostics),
            path_.string() +
                "/b.json:1:2: error 103: found the end of the document, expected a key in quotation marks or \"}\"\n");
}

TEST_F(Folder, AsItWouldBeWithDraftsInIt) {
  const std::string grid =
      R"("prices": [{"table": {"by": "weight", "unit": "lb", "csv": "ground.csv"}}], "mode": "surface")";
  Write("a.json", OneService(grid));
  Write("ground.csv", "bound,1,2\n1,3.62,3.75\n");
  // Named before and behind what is there, it is the draft of which a clash is said.
  for (const std::string name : {"0.json", "z.json"}) {
    const Loaded<Tables> clash = ReadFolderWith(path_.string(), {{name, OneService(grid)}});
    ASSERT_FALSE(clash.ok());
    ASSERT_EQ(clash.diagnostics.size(), 1u) << Lines(clash.diagnostics);
    EXPECT_EQ(clash.diagnostics[0].file, (path_ / name).string());
    EXPECT_EQ(clash.diagnostics[0].code, 401);
  }
  // In the place of what is there, a grid too; and the files that are there are not touched.
  const Loaded<Tables> other = ReadFolderWith(
      path_.string(), {{"ground.csv", "bound,1,2\n1,4.62,4.75\n2,5.00,5.10\n"}, {"a.json", OneService(grid)}});
  ASSERT_TRUE(other.ok()) << Lines(other.diagnostics);
  ASSERT_EQ(other.value->tariffs.size(), 1u);
  EXPECT_EQ(std::get<TablePrice>(other.value->tariffs[0].services[0].prices[0].price).rows(), 2u);
  EXPECT_EQ(std::get<TablePrice>(ReadFolder(path_.string()).value->tariffs[0].services[0].prices[0].price).rows(), 1u);
  // A folder that is not there yet has the drafts alone.
  const std::string none = (path_ / "none").string();
  EXPECT_TRUE(ReadFolderWith(none, {{"a.json", OneService(R"("prices": [{"amount": 5}], "mode": "surface")")}}).ok());
  EXPECT_FALSE(std::filesystem::exists(none));
  EXPECT_FALSE(ReadFolderWith(none, {}).ok());
  EXPECT_FALSE(ReadFolderWith((path_ / "a.json").string(), {{"b.json", "{}"}}).ok());
  Write("torn.json", "{");
  EXPECT_FALSE(ReadFolderWith(path_.string(), {{"b.csv", "bound,1\n"}}).ok());
}

TEST_F(Folder, ThatIsNotThereOrEmpty) {
  EXPECT_EQ(Lines(ReadFolder(path_.string()).diagnostics),
            path_.string() + ": error 504: found no tables, expected *.json, gazetteer*.csv or shelf*.csv\n");
  EXPECT_EQ(Lines(ReadFolder((path_ / "nowhere").string()).diagnostics),
            (path_ / "nowhere").string() + ": error 501: found no such folder, expected a folder of tables\n");
}

TEST_F(Folder, NamesWhatIsNoFileAndWaitsForNothing) {
  Write("a.json", OneService(R"("prices": [{"table": {"by": "weight", "unit": "lb", "csv": "ground.csv"}}])"));
  ASSERT_EQ(mkfifo((path_ / "b.json").c_str(), 0600), 0);
  std::filesystem::create_directories(path_ / "c.json");
  std::filesystem::create_symlink("d.json", path_ / "d.json");
  std::filesystem::create_symlink("none.json", path_ / "e.json");
  std::filesystem::create_symlink("/dev/zero", path_ / "gazetteer.csv");
  ASSERT_EQ(mkfifo((path_ / "ground.csv").c_str(), 0600), 0);
  std::filesystem::create_directories(path_ / "old");
  const Loaded<Tables> loaded = ReadFolder(path_.string());
  EXPECT_FALSE(loaded.ok());
  const std::string at = path_.string() + "/";
  EXPECT_EQ(Lines(loaded.diagnostics).substr(Lines(loaded.diagnostics).find('\n') + 1),
            at + "b.json: error 502: found a pipe, expected a file\n" + at +
                "c.json: error 502: found a folder, expected a file\n" + at +
                "d.json: error 502: found a link in a circle, expected a file\n" + at +
                "e.json: error 501: found a link to a file that is not there, expected one that is there\n" + at +
                "gazetteer.csv: error 502: found a device, expected a file\n" + at +
                "ground.csv: error 502: found a pipe, expected a file\n");
  EXPECT_NE(Lines(loaded.diagnostics).find("found \"ground.csv\", expected a file that can be read"),
            std::string::npos);
  EXPECT_EQ(Lines(ReadFolder(at + "a.json").diagnostics),
            at + "a.json: error 502: found a file, expected a folder of tables\n");
}

TEST_F(Folder, FilesThatCannotBeRead) {
  EXPECT_EQ(Lines(ReadFile((path_ / "none.json").string()).diagnostics),
            (path_ / "none.json").string() + ": error 501: found no such file, expected one that is there\n");
  EXPECT_EQ(Lines(ReadFile(path_.string()).diagnostics),
            path_.string() + ": error 502: found a folder, expected a file\n");
  Write("large.json", std::string((std::size_t{16} << 20) + 1, ' '));
  EXPECT_EQ(Lines(ReadFile((path_ / "large.json").string()).diagnostics),
            (path_ / "large.json").string() + ": error 503: found more than 16 MiB, expected at most 16 MiB\n");
  Write("small.json", std::string("a\0b\r\n", 5));
  const Loaded<SourceText> small = ReadFile((path_ / "small.json").string());
  ASSERT_TRUE(small.ok());
  EXPECT_EQ(small.value->text, std::string("a\0b\r\n", 5));
}

TEST(CheckTables, WorksWithoutPlaces) {
  Tables tables;
  tables.tariffs.push_back(Sound(OneService(R"("prices": [{"amount": 5}])")));
  tables.tariffs.push_back(tables.tariffs[0]);
  tables.tariffs[1].file = "again.json";
  const std::vector<Diagnostic> said = CheckTables(tables);
  ASSERT_EQ(said.size(), 1u);
  EXPECT_EQ(said[0].code, 401);
  EXPECT_EQ(said[0].line, 0);
  EXPECT_EQ(said[0].file, "again.json");
  EXPECT_EQ(said[0].pointer, "/in_force/from");
}

// ---- the tables of this project ----

TEST(Tables, OfThisProjectAreRead) {
  const std::filesystem::path root(TW_TEST_ROOT);
  std::vector<std::filesystem::path> folders = {root / "tables" / "demo", root / "tests" / "cases" / "tables"};
  for (const auto& entry : std::filesystem::directory_iterator(root / "tests" / "published")) {
    if (entry.is_directory()) folders.push_back(entry.path());
  }
  EXPECT_GE(folders.size(), 10u);
  for (const std::filesystem::path& folder : folders) {
    const Loaded<Tables> loaded = ReadFolder(folder.string());
    EXPECT_TRUE(loaded.ok()) << folder << "\n" << Lines(loaded.diagnostics);
  }
}

}  // namespace
}  // namespace tarewise::folder_test
